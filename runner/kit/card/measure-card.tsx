import type { Prompt } from "../../../engine/machine/prompt.ts";
import { Button } from "../button.tsx";
import type { CardDraft } from "../card-draft.ts";
import { ReadingEntry, typedReading } from "../reading-entry.tsx";
import type { RunCardProps } from "../run-card-props.ts";
import { LimitTimer } from "../timer.tsx";
import { CardFrame, Whereabouts } from "./card-frame.tsx";
import { WaitPart } from "./wait-part.tsx";

type Part = "reading" | "leads" | "temperature";

/** A measurement: its wait, the reading, then the leads and the part's temperature where they are asked for. */
export function MeasureCard({
  card,
  prompt,
}: {
  readonly card: RunCardProps;
  readonly prompt: Prompt & { readonly kind: "measure" };
}) {
  const { draft, onDraft } = card;
  if (prompt.waitMinutes !== undefined && draft.waited === undefined)
    return (
      <CardFrame
        card={card}
        heading={prompt.title}
        part="wait"
        cannot="I can't measure this"
        acts={<WaitPart minutes={prompt.waitMinutes} draft={draft} onDraft={onDraft} />}
      >
        <p className="card-say">{prompt.say}</p>
        <Whereabouts at={prompt} apart={prompt.apart} tools={prompt.tools} />
      </CardFrame>
    );
  const parts = partsOf(prompt, draft);
  const part = parts.find((one) => one === draft.field) ?? "reading";
  const next = parts[parts.indexOf(part) + 1];
  const take = () => {
    if (next === undefined) send(card, prompt, parts);
    else onDraft({ ...draft, field: next });
  };
  return (
    <CardFrame
      card={card}
      heading={heading(prompt, part)}
      part={part}
      cannot="I can't measure this"
      aside={
        part === "reading" ? undefined : (
          <Button look="quiet" onClick={() => onDraft({ ...draft, field: "reading" })}>
            The reading
          </Button>
        )
      }
      acts={
        <ReadingEntry
          draft={draft}
          onDraft={onDraft}
          field={part}
          label={labels[part]}
          unit={part === "temperature" ? "degC" : prompt.unit}
          act={act(part, next)}
          busy={card.busy ?? false}
          several={part === "reading" && prompt.visit > 1}
          onTake={take}
        />
      }
    >
      <PartText prompt={prompt} part={part} />
    </CardFrame>
  );
}

const labels: Readonly<Record<Part, string>> = {
  reading: "Reading",
  leads: "Reading with the leads held together",
  temperature: "Temperature",
};

/** The leads are asked for by the step, or measured by choice after a close call. */
function partsOf(prompt: Prompt & { readonly kind: "measure" }, draft: CardDraft): readonly Part[] {
  const leads = prompt.leads || draft.field === "leads" || draft.typed.leads !== undefined;
  return [
    "reading",
    ...(leads ? (["leads"] as const) : []),
    ...(prompt.temperature === undefined ? [] : (["temperature"] as const)),
  ];
}

function heading(prompt: Prompt & { readonly kind: "measure" }, part: Part): string {
  if (part === "leads") return "Hold the leads together";
  if (part === "temperature") return "How warm is it?";
  return prompt.title;
}

function act(part: Part, next: Part | undefined): string {
  if (next === "leads") return "Now the leads";
  if (next === "temperature") return "Now the temperature";
  return part === "reading" ? "Read it" : "Judge the reading";
}

function PartText({
  prompt,
  part,
}: {
  readonly prompt: Prompt & { readonly kind: "measure" };
  readonly part: Part;
}) {
  if (part === "leads")
    return <p>Touch the two lead tips hard together and enter what the meter reads, in the same range.</p>;
  if (part === "temperature") return <p>{prompt.temperature}</p>;
  return (
    <>
      {prompt.say === undefined ? null : <p className="card-say">{prompt.say}</p>}
      <Whereabouts at={prompt} apart={prompt.apart} tools={prompt.tools}>
        {prompt.visit > 1 ? <p>Reading number {prompt.visit} here.</p> : null}
        {prompt.instrument === undefined ? null : <p>With: {prompt.instrument}</p>}
      </Whereabouts>
      {prompt.limitSeconds === undefined ? null : <LimitTimer seconds={prompt.limitSeconds} />}
    </>
  );
}

function send(card: RunCardProps, prompt: Prompt & { readonly kind: "measure" }, parts: readonly Part[]) {
  const { draft, onEvent } = card;
  onEvent({
    type: "reading",
    step: prompt.step,
    reading: typedReading(draft, "reading", prompt.unit),
    ...(parts.includes("leads") ? { leads: typedReading(draft, "leads", prompt.unit) } : {}),
    ...(parts.includes("temperature") ? { temperature: typedTemperature(card) } : {}),
    ...(draft.waited === undefined ? {} : { waited: draft.waited }),
  });
}

/** A temperature always says its unit: bare numbers are read in different ones on either side of an ocean. */
function typedTemperature({ draft }: RunCardProps): string {
  return `${draft.typed.temperature ?? ""} ${draft.unit.temperature ?? "degC"}`;
}
