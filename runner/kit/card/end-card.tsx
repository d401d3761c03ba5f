import { useEffect, useRef } from "react";
import type { Prompt } from "../../../engine/machine/prompt.ts";
import { Acts } from "../acts.tsx";
import { Button } from "../button.tsx";
import { END_TITLES } from "../end-titles.ts";
import { PutBackList } from "../put-back-list.tsx";
import type { RunCardProps } from "../run-card-props.ts";
import { unprovenText } from "../unproven-text.ts";

/** The end of a run: how it ended, what is still to be put back, and the report. */
export function EndCard({
  card,
  prompt,
}: {
  readonly card: RunCardProps;
  readonly prompt: Prompt & { readonly kind: "end" };
}) {
  const title = useRef<HTMLHeadingElement>(null);
  useEffect(() => {
    title.current?.focus({ preventScroll: true });
    window.scrollTo(0, 0);
  }, []);
  const open = prompt.putBack.filter((item) => !item.done).length;
  return (
    <div className="card-step">
      <h1 ref={title} tabIndex={-1}>
        {END_TITLES[prompt.end].heading}
      </h1>
      <div className="card-body">
        <p>{END_TITLES[prompt.end].sentence}</p>
        {prompt.unproven === undefined ? null : <p className="card-say">{unprovenText(prompt.unproven)}</p>}
        {prompt.say === undefined ? null : <p className="card-say">{prompt.say}</p>}
        {prompt.putBack.length === 0 ? null : (
          <section className="card-body">
            <h2 aria-live="polite">{open === 0 ? "Everything is back" : "Put back"}</h2>
            <PutBackList
              items={prompt.putBack}
              system={card.system}
              {...(card.busy
                ? {}
                : {
                    onPutBack: (setUp: string) => card.onEvent({ type: "set-up", setUp, change: "put-back" }),
                  })}
            />
          </section>
        )}
      </div>
      <Acts>
        {card.refusal === undefined ? null : (
          <p className="refusal" role="alert">
            {card.refusal}
          </p>
        )}
        {card.onReport ? (
          <Button look={open === 0 ? "act" : "plain"} onClick={card.onReport}>
            Read the report
          </Button>
        ) : null}
        {card.onPause ? (
          <div className="quiet-acts">
            <Button look="quiet" onClick={card.onPause}>
              Back to the jobs
            </Button>
          </div>
        ) : null}
      </Acts>
    </div>
  );
}
