import type { Prompt } from "../../../engine/machine/prompt.ts";
import type { Act, Repair } from "../../../engine/procedure/model.ts";
import { Button } from "../button.tsx";
import { concludedText } from "../proof-text.ts";
import type { RunCardProps } from "../run-card-props.ts";
import { SignalPanel } from "../signal-panel.tsx";
import { TorqueValue } from "../torque-value.tsx";
import { CardFrame, Whereabouts } from "./card-frame.tsx";

/** The fault concluded and its repair: parts, tools, then the acts, each with its cautions and torque. */
export function RepairCard({
  card,
  prompt,
}: {
  readonly card: RunCardProps;
  readonly prompt: Prompt & { readonly kind: "repair" };
}) {
  const done = prompt.repairs.map((repair) => repair.title).join(", ");
  return (
    <CardFrame
      card={card}
      heading={prompt.faults.map((fault) => fault.title).join(", or ")}
      cannot="I can't repair this"
      longActs
      acts={
        <Button disabled={card.busy} onClick={() => card.onEvent({ type: "done", step: prompt.step })}>
          {done === "" ? "Repaired, now prove it" : `Done: ${done}`}
        </Button>
      }
    >
      <p>{concludedText(prompt.faults.length, card.proof)} Repair it like this.</p>
      {prompt.say === undefined ? null : <p className="card-say">{prompt.say}</p>}
      {prompt.faults.map((fault) =>
        fault.where === undefined ? null : <Whereabouts key={fault.id} at={{ where: fault.where }} />,
      )}
      {prompt.repairs.map((repair) => (
        <RepairNeeds key={repair.id} repair={repair} />
      ))}
      <Acts card={card} acts={prompt.acts} />
    </CardFrame>
  );
}

function RepairNeeds({ repair }: { readonly repair: Repair }) {
  return (
    <section className="card-body">
      <h2>{repair.title}</h2>
      <dl className="facts">
        <dt>Time</dt>
        <dd>about {repair.minutes} min</dd>
        {repair.parts.length === 0 ? null : (
          <>
            <dt>Parts</dt>
            <dd>{repair.parts.map(partText).join("; ")}</dd>
          </>
        )}
        {repair.cost === undefined ? null : (
          <>
            <dt>Cost</dt>
            <dd>about {repair.cost}</dd>
          </>
        )}
      </dl>
      <Whereabouts tools={repair.tools} />
    </section>
  );
}

function partText(part: Repair["parts"][number]): string {
  const count = part.quantity === 1 ? "" : `${part.quantity} × `;
  return `${count}${part.part}${part.renew ? ", always new" : ""}`;
}

function Acts({ card, acts }: { readonly card: RunCardProps; readonly acts: readonly Act[] }) {
  const { draft, onDraft } = card;
  const toggle = (index: number) =>
    onDraft({
      ...draft,
      ticked: draft.ticked.includes(index)
        ? draft.ticked.filter((one) => one !== index)
        : [...draft.ticked, index],
    });
  return (
    <ol className="act-list" aria-label="What to do">
      {acts.map((act, index) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: acts have no id and never move.
        <li key={index}>
          {act.cautions.map((id) => {
            const caution = card.procedure.cautions.get(id);
            return caution === undefined ? null : <SignalPanel key={id} caution={caution} brief />;
          })}
          <label className="act-tick">
            <input
              type="checkbox"
              className="tick"
              checked={draft.ticked.includes(index)}
              onChange={() => toggle(index)}
            />
            <span>
              {act.say}
              {act.torque === undefined ? null : (
                <>
                  {" "}
                  <TorqueValue torque={act.torque} system={card.system} />
                </>
              )}
            </span>
          </label>
          <Whereabouts at={act} />
        </li>
      ))}
    </ol>
  );
}
