import type { Prompt } from "../../../engine/machine/prompt.ts";
import { Button } from "../button.tsx";
import { lowerFirst } from "../lower-first.ts";
import type { RunCardProps } from "../run-card-props.ts";
import { TorqueValue } from "../torque-value.tsx";
import { CardFrame, Whereabouts } from "./card-frame.tsx";
import { fitsHeading } from "./fits-heading.ts";

/** Something to take apart or to put back before the next step. */
export function SetUpCard({
  card,
  prompt,
}: {
  readonly card: RunCardProps;
  readonly prompt: Prompt & { readonly kind: "set-up" };
}) {
  const { setUp, change } = prompt;
  const making = change === "make";
  const text = making ? setUp.do : (setUp.putBack?.do ?? setUp.title);
  const torque = making ? setUp.torque : setUp.putBack?.torque;
  const minutes = making ? setUp.minutes : (setUp.putBack?.minutes ?? 0);
  const asHeading = fitsHeading(text);
  return (
    <CardFrame
      card={card}
      heading={asHeading ? text : making ? setUp.title : `Put back: ${setUp.title}`}
      cannot="I can't do this"
      acts={
        <Button
          disabled={card.busy}
          onClick={() => card.onEvent({ type: "set-up", setUp: setUp.id, change })}
        >
          {making ? `Done: ${setUp.title}` : putBackDone(text)}
        </Button>
      }
    >
      {asHeading ? null : <p className="card-say card-main">{text}</p>}
      {torque === undefined ? null : (
        <p>
          Torque: <TorqueValue torque={torque} system={card.system} />
        </p>
      )}
      <Whereabouts at={setUp} tools={setUp.tools}>
        <p>
          {making ? "To get ready" : "To put back"}, about {minutes} min.
        </p>
      </Whereabouts>
    </CardFrame>
  );
}

const LONGEST_ACT = 48;

function putBackDone(text: string): string {
  return text.length <= LONGEST_ACT ? `Done: ${lowerFirst(text).replace(/\.$/, "")}` : "Done, it is back";
}
