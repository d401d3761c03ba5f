import type { Fact } from "../../../engine/procedure/model.ts";
import { Button } from "../button.tsx";
import { readCodes } from "../codes-text.ts";
import type { RunCardProps } from "../run-card-props.ts";

const COUNTS = ["no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine"];

/** Trouble codes, typed as a list; what is no code is said and kept. */
export function CodesEntry({ card, fact }: { readonly card: RunCardProps; readonly fact: Fact }) {
  const { draft, onDraft, onEvent } = card;
  const text = draft.typed.codes ?? "";
  const { codes, wrong } = readCodes(text);
  const count = COUNTS[codes.length] ?? String(codes.length);
  return (
    <>
      <label className="field">
        <span className="field-label">Trouble codes, as shown</span>
        <input
          value={text}
          autoCapitalize="characters"
          autoComplete="off"
          spellCheck={false}
          placeholder="P0480, U0100"
          aria-describedby="codes-wrong"
          onChange={(change) => onDraft({ ...draft, typed: { ...draft.typed, codes: change.target.value } })}
        />
        <span id="codes-wrong" className={wrong.length === 0 ? "soft" : "field-wrong"}>
          {wrong.length === 0
            ? "A letter and four signs each, apart by a space or comma."
            : `No trouble code: ${wrong.join(", ")}. A letter P, C, B or U, then four signs.`}
        </span>
      </label>
      <Button
        disabled={card.busy || wrong.length > 0}
        onClick={() =>
          onEvent({ type: "fact", fact: fact.id, value: codes, ...(text === "" ? {} : { typed: text }) })
        }
      >
        {codes.length === 0
          ? "No codes stored"
          : `${count.charAt(0).toUpperCase()}${count.slice(1)} ${codes.length === 1 ? "code" : "codes"}, that is all`}
      </Button>
    </>
  );
}
