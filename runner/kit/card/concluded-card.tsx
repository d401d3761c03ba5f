import type { Prompt } from "../../../engine/machine/prompt.ts";
import { Button } from "../button.tsx";
import { concludedText } from "../proof-text.ts";
import type { RunCardProps } from "../run-card-props.ts";
import { CardFrame, Whereabouts } from "./card-frame.tsx";

/** A fault concluded that is not repaired here: it goes on to whoever may. */
export function ConcludedCard({
  card,
  prompt,
}: {
  readonly card: RunCardProps;
  readonly prompt: Prompt & { readonly kind: "concluded" };
}) {
  return (
    <CardFrame
      card={card}
      heading={prompt.faults.map((fault) => fault.title).join(", or ")}
      cannot="I can't go on"
      acts={
        <Button disabled={card.busy} onClick={() => card.onEvent({ type: "done", step: prompt.step })}>
          Note it and hand it on
        </Button>
      }
    >
      <p>{concludedText(prompt.faults.length, card.proof)} It is not repaired here.</p>
      {prompt.say === undefined ? null : <p className="card-say">{prompt.say}</p>}
      {prompt.faults.map((fault) =>
        fault.where === undefined ? null : <Whereabouts key={fault.id} at={{ where: fault.where }} />,
      )}
    </CardFrame>
  );
}
