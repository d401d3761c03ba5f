import { Button } from "./button.tsx";
import type { CardDraft } from "./card-draft.ts";
import { REASONS } from "./reasons.ts";
import { Sheet } from "./sheet.tsx";

/** Asks why something can't be done, or how the job is left; what is typed is kept as a draft. */
export function ReasonSheet({
  reason,
  title,
  onReason,
  onClose,
  onCannot,
  onStop,
  onPause,
}: {
  readonly reason: NonNullable<CardDraft["reason"]>;
  /** What can't be done, as the quiet button said it. */
  readonly title: string;
  readonly onReason: (text: string) => void;
  readonly onClose: () => void;
  readonly onCannot: (reason: string) => void;
  readonly onStop: (reason: string) => void;
  /** Leaves the run open and goes away from it. */
  readonly onPause?: () => void;
}) {
  const stopping = reason.for === "stop";
  const text = reason.text.trim();
  return (
    <Sheet title={stopping ? "Leave the job here" : title} onClose={onClose}>
      {stopping ? (
        <p>Everything so far is kept. Come back to it later, or end it unfinished with its put-back list.</p>
      ) : (
        <p>Say why. The job goes on without it, or ends unresolved where there is no other way.</p>
      )}
      {stopping && onPause ? <Button onClick={onPause}>Come back to it later</Button> : null}
      <ul className="chips" aria-label="Common reasons">
        {REASONS.map((one) => (
          <li key={one}>
            <button type="button" className="chip" aria-pressed={text === one} onClick={() => onReason(one)}>
              {one}
            </button>
          </li>
        ))}
      </ul>
      <label className="field">
        <span className="field-label">{stopping ? "Why it ends here" : "Why not"}</span>
        <textarea value={reason.text} onChange={(change) => onReason(change.target.value)} />
      </label>
      <div className="sheet-acts">
        <Button
          look={stopping ? "plain" : "act"}
          disabled={text === ""}
          onClick={() => (stopping ? onStop(text) : onCannot(text))}
        >
          {stopping ? "End the job unfinished" : "Go on without it"}
        </Button>
        <Button look="plain" onClick={onClose}>
          Back to the job
        </Button>
      </div>
    </Sheet>
  );
}
