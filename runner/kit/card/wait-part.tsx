import { Button } from "../button.tsx";
import type { CardDraft } from "../card-draft.ts";
import { clockText } from "../clock-text.ts";
import { useNow } from "../timer.tsx";

/** A wait before the answer: begun by a tap, counted from then on even through a reload. */
export function WaitPart({
  minutes,
  draft,
  onDraft,
}: {
  readonly minutes: number;
  readonly draft: CardDraft;
  readonly onDraft: (draft: CardDraft) => void;
}) {
  const from = draft.waitFrom;
  const now = useNow(from !== undefined, 500);
  if (from === undefined)
    return (
      <>
        <Button onClick={() => onDraft({ ...draft, waitFrom: Date.now() })}>
          Start the {minutes} min wait
        </Button>
        <Button look="plain" onClick={() => onDraft({ ...draft, waited: minutes })}>
          It has stood {minutes} min already
        </Button>
      </>
    );
  const left = from + minutes * 60_000 - now;
  const waited = Math.max(0, (now - from) / 60_000);
  return (
    <>
      <div className="timer">
        <p className="timer-words" aria-live="polite">
          {left > 0 ? "Waiting." : "The wait is over."}
        </p>
        <span className="timer-left" role="timer" aria-label="Time left">
          {clockText(left)}
        </span>
      </div>
      <Button
        look={left > 0 ? "plain" : "act"}
        onClick={() => onDraft({ ...draft, waited: Math.round(waited * 10) / 10 })}
      >
        {left > 0 ? "Go on before the time is up" : `Waited ${minutes} min`}
      </Button>
    </>
  );
}
