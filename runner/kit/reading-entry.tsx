import { Button } from "./button.tsx";
import type { CardDraft } from "./card-draft.ts";
import { Keypad } from "./keypad.tsx";
import { isReading, pressKey } from "./reading-keys.ts";
import { unitChoices } from "./unit-choices.ts";

/** The unit that a field of a draft is typed in. */
function fieldUnit(draft: CardDraft, field: string, asked: string): string {
  return draft.unit[field] ?? asked;
}

/** What was typed in a field, each with its unit where that is not the one asked for: `22.4 kOhm`, else `22.4`. */
export function typedReading(draft: CardDraft, field: string, asked: string): string {
  const text = draft.typed[field] ?? "";
  const unit = fieldUnit(draft, field, asked);
  if (unit === asked) return text;
  const readings = text.split(";").filter((one, index) => index === 0 || one.trim() !== "");
  return readings.map((one) => `${one.trim()} ${unit}`).join("; ");
}

/** The keypad on one field of a draft, with the button that takes the reading. */
export function ReadingEntry({
  draft,
  onDraft,
  field,
  label,
  unit,
  act,
  busy = false,
  several = false,
  onTake,
}: {
  readonly draft: CardDraft;
  readonly onDraft: (draft: CardDraft) => void;
  readonly field: string;
  readonly label: string;
  /** The unit asked for. */
  readonly unit: string;
  /** What the button says. */
  readonly act: string;
  readonly busy?: boolean;
  /** Offer to type one more reading of the same thing. */
  readonly several?: boolean;
  readonly onTake: () => void;
}) {
  const text = draft.typed[field] ?? "";
  const ready = isReading(text) && !busy;
  const onText = (typed: string) => onDraft({ ...draft, typed: { ...draft.typed, [field]: typed } });
  return (
    <>
      <Keypad
        label={label}
        text={text}
        onText={onText}
        unit={fieldUnit(draft, field, unit)}
        units={unitChoices(unit)}
        onUnit={(chosen) => onDraft({ ...draft, unit: { ...draft.unit, [field]: chosen } })}
        onEnter={() => ready && onTake()}
      />
      <Button disabled={!ready} onClick={onTake}>
        {act}
      </Button>
      {several ? (
        <Button look="quiet" disabled={!ready} onClick={() => onText(pressKey(text, ";"))}>
          One more reading, take the mean
        </Button>
      ) : null}
    </>
  );
}
