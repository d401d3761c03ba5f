import { Button } from "./button.tsx";
import type { CardDraft } from "./card-draft.ts";
import { Keypad } from "./keypad.tsx";
import { isReading } from "./reading-keys.ts";
import { unitChoices } from "./unit-choices.ts";

/** The unit that a field of a draft is typed in. */
function fieldUnit(draft: CardDraft, field: string, asked: string): string {
  return draft.unit[field] ?? asked;
}

/** What was typed in a field, with its unit where that is not the one asked for: `22.4 kOhm`, else `22.4`. */
export function typedReading(draft: CardDraft, field: string, asked: string): string {
  const text = draft.typed[field] ?? "";
  const unit = fieldUnit(draft, field, asked);
  return unit === asked ? text : `${text} ${unit}`;
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
  readonly onTake: () => void;
}) {
  const text = draft.typed[field] ?? "";
  const ready = isReading(text) && !busy;
  return (
    <>
      <Keypad
        label={label}
        text={text}
        onText={(typed) => onDraft({ ...draft, typed: { ...draft.typed, [field]: typed } })}
        unit={fieldUnit(draft, field, unit)}
        units={unitChoices(unit)}
        onUnit={(chosen) => onDraft({ ...draft, unit: { ...draft.unit, [field]: chosen } })}
        onEnter={() => ready && onTake()}
      />
      <Button disabled={!ready} onClick={onTake}>
        {act}
      </Button>
    </>
  );
}
