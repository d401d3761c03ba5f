import type { Prompt } from "../../../engine/machine/prompt.ts";
import { Button } from "../button.tsx";
import type { RunCardProps } from "../run-card-props.ts";
import { LimitTimer } from "../timer.tsx";
import { CardFrame, Whereabouts } from "./card-frame.tsx";
import { fitsHeading } from "./fits-heading.ts";
import { WaitPart } from "./wait-part.tsx";

/** Something to do, with its wait and its limit. */
export function DoCard({
  card,
  prompt,
}: {
  readonly card: RunCardProps;
  readonly prompt: Prompt & { readonly kind: "do" };
}) {
  const waiting = prompt.waitMinutes !== undefined && card.draft.waited === undefined;
  const asHeading = fitsHeading(prompt.text);
  return (
    <CardFrame
      card={card}
      heading={asHeading ? prompt.text : prompt.title}
      cannot="I can't do this"
      acts={
        waiting ? (
          <WaitPart minutes={prompt.waitMinutes ?? 0} draft={card.draft} onDraft={card.onDraft} />
        ) : (
          <Button disabled={card.busy} onClick={() => card.onEvent({ type: "done", step: prompt.step })}>
            {asHeading ? "This is done" : `Done: ${prompt.title}`}
          </Button>
        )
      }
    >
      {asHeading ? null : <p className="card-say card-main">{prompt.text}</p>}
      {prompt.say === undefined ? null : <p className="card-say">{prompt.say}</p>}
      <Whereabouts at={prompt} apart={prompt.apart} tools={prompt.tools} />
      {prompt.limitSeconds === undefined ? null : <LimitTimer seconds={prompt.limitSeconds} />}
    </CardFrame>
  );
}
