import type { Prompt } from "../../../engine/machine/prompt.ts";
import { acknowledgement } from "../acknowledgement.ts";
import { Button } from "../button.tsx";
import type { RunCardProps } from "../run-card-props.ts";
import { SignalPanel } from "../signal-panel.tsx";
import { CardFrame } from "./card-frame.tsx";

/** Cautions before anything else, highest signal word first; then what comes next. */
export function CautionsCard({
  card,
  prompt,
}: {
  readonly card: RunCardProps;
  readonly prompt: Prompt & { readonly kind: "cautions" };
}) {
  return (
    <CardFrame
      card={card}
      heading="Before you go on"
      cannot="I can't make it safe"
      acts={
        <Button
          disabled={card.busy}
          onClick={() =>
            card.onEvent({
              type: "acknowledge",
              for: prompt.for,
              cautions: prompt.cautions.map((caution) => caution.id),
            })
          }
        >
          {acknowledgement(prompt.cautions)}
        </Button>
      }
    >
      {prompt.cautions.map((caution) => (
        <SignalPanel key={caution.id} caution={caution} />
      ))}
      {prompt.next === "" ? null : (
        <p>
          <span className="soft">Next: </span>
          {prompt.next}
        </p>
      )}
    </CardFrame>
  );
}
