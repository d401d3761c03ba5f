import type { Prompt } from "../../../engine/machine/prompt.ts";
import type { Fact } from "../../../engine/procedure/model.ts";
import { parseReading } from "../../../engine/quantity/parse-reading.ts";
import { Button } from "../button.tsx";
import { ReadingEntry, typedReading } from "../reading-entry.tsx";
import type { RunCardProps } from "../run-card-props.ts";
import { CardFrame } from "./card-frame.tsx";
import { CodesEntry } from "./codes-entry.tsx";
import { fitsHeading } from "./fits-heading.ts";

/** Something to be known before the next step: a choice, a measured number or a list of codes. */
export function FactCard({
  card,
  prompt,
}: {
  readonly card: RunCardProps;
  readonly prompt: Prompt & { readonly kind: "fact" };
}) {
  const { fact } = prompt;
  const asHeading = fitsHeading(fact.ask);
  return (
    <CardFrame
      card={card}
      heading={asHeading ? fact.ask : fact.title}
      longActs={fact.choices.length > 3}
      acts={<FactActs card={card} fact={fact} />}
    >
      {asHeading ? null : <p className="card-say card-main">{fact.ask}</p>}
      <p className="soft">Asked once; the job uses it from here on.</p>
    </CardFrame>
  );
}

function FactActs({ card, fact }: { readonly card: RunCardProps; readonly fact: Fact }) {
  const unknown = (
    <Button
      look="plain"
      disabled={card.busy}
      onClick={() => card.onEvent({ type: "fact", fact: fact.id, value: { unknown: true } })}
    >
      {fact.list ? "They can't be read" : "Not known"}
    </Button>
  );
  if (fact.list)
    return (
      <>
        <CodesEntry card={card} fact={fact} />
        {unknown}
      </>
    );
  if (fact.measure) {
    const { unit } = fact.measure;
    const typed = typedReading(card.draft, "reading", unit);
    const read = parseReading(typed, unit);
    const value = read.ok && Number.isFinite(read.reading.value) ? read.reading.value : undefined;
    const take = () => {
      if (value !== undefined) card.onEvent({ type: "fact", fact: fact.id, value, typed });
    };
    return (
      <>
        <ReadingEntry
          draft={card.draft}
          onDraft={card.onDraft}
          field="reading"
          label={fact.title}
          unit={unit}
          act="Use this"
          busy={card.busy === true || value === undefined}
          onTake={take}
        />
        {unknown}
      </>
    );
  }
  return (
    <ul className="answers" aria-label="Answers">
      {fact.choices.map((choice) => (
        <li key={choice.id}>
          <Button
            look="plain"
            disabled={card.busy}
            onClick={() => card.onEvent({ type: "fact", fact: fact.id, value: choice.id })}
          >
            {choice.label}
          </Button>
        </li>
      ))}
      <li>{unknown}</li>
    </ul>
  );
}
