import type { Prompt } from "../../../engine/machine/prompt.ts";
import { Button } from "../button.tsx";
import type { RunCardProps } from "../run-card-props.ts";
import { LimitTimer } from "../timer.tsx";
import { CardFrame, Whereabouts } from "./card-frame.tsx";
import { fitsHeading } from "./fits-heading.ts";
import { WaitPart } from "./wait-part.tsx";

/** More answers than this scroll with the card instead of staying at its bottom. */
const MOST_STAYING = 4;

/** A question and its answers, one tap each. */
export function AskCard({
  card,
  prompt,
}: {
  readonly card: RunCardProps;
  readonly prompt: Prompt & { readonly kind: "ask" };
}) {
  const waiting = prompt.waitMinutes !== undefined && card.draft.waited === undefined;
  const asHeading = fitsHeading(prompt.text);
  return (
    <CardFrame
      card={card}
      heading={asHeading ? prompt.text : prompt.title}
      cannot="I can't tell"
      longActs={prompt.answers.length > MOST_STAYING}
      acts={
        waiting ? (
          <WaitPart minutes={prompt.waitMinutes ?? 0} draft={card.draft} onDraft={card.onDraft} />
        ) : (
          <ul className="answers" aria-label="Answers">
            {prompt.answers.map((answer) => (
              <li key={answer.id}>
                <Button
                  look={prompt.answers.length === 1 ? "act" : "plain"}
                  disabled={card.busy}
                  onClick={() => card.onEvent({ type: "answer", step: prompt.step, answer: answer.id })}
                >
                  {answer.label}
                </Button>
              </li>
            ))}
          </ul>
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
