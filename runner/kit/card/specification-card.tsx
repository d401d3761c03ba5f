import type { Prompt } from "../../../engine/machine/prompt.ts";
import type { LimitWord } from "../../../engine/procedure/model.ts";
import { Button } from "../button.tsx";
import { ReadingEntry, typedReading } from "../reading-entry.tsx";
import type { RunCardProps } from "../run-card-props.ts";
import { CardFrame } from "./card-frame.tsx";

const ASKED: Readonly<Record<LimitWord, string>> = {
  from: "At least",
  to: "At most",
  over: "More than",
  under: "Less than",
};

/** A limit that only the maker's data know: its numbers, then where they were read. */
export function SpecificationCard({
  card,
  prompt,
}: {
  readonly card: RunCardProps;
  readonly prompt: Prompt & { readonly kind: "specification" };
}) {
  const { draft, onDraft } = card;
  const fields = [...prompt.limits, "source"] as const;
  const field = fields.find((one) => one === draft.field) ?? fields[0];
  const next = fields[fields.indexOf(field) + 1];
  const back = fields[fields.indexOf(field) - 1];
  const change = (
    <>
      {back === undefined ? null : (
        <Button look="quiet" onClick={() => onDraft({ ...draft, field: back })}>
          Back to the number before
        </Button>
      )}
    </>
  );
  if (field === "source")
    return (
      <CardFrame
        card={card}
        heading="Where did you read it?"
        part="source"
        cannot="I can't find it"
        acts={
          <>
            <label className="field">
              <span className="field-label">Source</span>
              <input
                value={draft.typed.source ?? ""}
                placeholder="Label on the part, data sheet, page"
                onChange={(typed) =>
                  onDraft({ ...draft, typed: { ...draft.typed, source: typed.target.value } })
                }
              />
            </label>
            <Button
              disabled={card.busy || (draft.typed.source ?? "").trim() === ""}
              onClick={() => send(card, prompt)}
            >
              Judge by these numbers
            </Button>
            {change}
          </>
        }
      >
        <p>
          {prompt.title}:{" "}
          {prompt.limits
            .map((word) => `${ASKED[word].toLowerCase()} ${shown(card, prompt, word)}`)
            .join(", ")}
        </p>
      </CardFrame>
    );
  return (
    <CardFrame
      card={card}
      heading={prompt.title}
      part={field}
      cannot="I can't find it"
      acts={
        <>
          <ReadingEntry
            draft={draft}
            onDraft={onDraft}
            field={field}
            label={ASKED[field]}
            unit={prompt.unit}
            act={next === "source" ? "Now its source" : "Now the other limit"}
            busy={card.busy ?? false}
            onTake={() => onDraft({ ...draft, field: next ?? "source" })}
          />
          {change}
        </>
      }
    >
      <p>Look it up in the maker's data for this machine. The next reading is judged by it.</p>
      <p>
        <strong>{ASKED[field]}:</strong>
      </p>
    </CardFrame>
  );
}

function shown(
  card: RunCardProps,
  prompt: Prompt & { readonly kind: "specification" },
  word: LimitWord,
): string {
  return `${card.draft.typed[word] ?? ""} ${card.draft.unit[word] ?? prompt.unit}`;
}

function send(card: RunCardProps, prompt: Prompt & { readonly kind: "specification" }) {
  const limits: Partial<Record<LimitWord, string>> = {};
  for (const word of prompt.limits) limits[word] = typedReading(card.draft, word, prompt.unit);
  card.onEvent({
    type: "specification",
    specification: prompt.specification,
    limits,
    source: (card.draft.typed.source ?? "").trim(),
  });
}
