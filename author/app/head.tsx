import { Button } from "../../runner/kit/button.tsx";
import type { KeptState } from "../edits/draft-keeper.ts";
import { useNow } from "./use-now.ts";
import type { SaveState } from "./use-procedure.ts";

export interface HeadProps {
  readonly title: string;
  readonly revision: number | undefined;
  readonly equipment: readonly string[];
  readonly kept: KeptState;
  readonly save: SaveState;
  readonly offline: boolean;
  /** The text differs from what is in the trees. */
  readonly draft: boolean;
  readonly walking: boolean;
  readonly rehearsing: boolean;
  /** Why the procedure cannot be walked now, as a sentence. */
  readonly noWalk: string | undefined;
  readonly onWalk: () => void;
  readonly onRehearse: () => void;
  readonly onSave: () => void;
  readonly onShelf: () => void;
}

/** Title, where the text is kept, and what can be done with the whole of it. */
export function Head(props: HeadProps) {
  const { title, revision, equipment, kept, save, offline, draft, walking, rehearsing, noWalk } = props;
  const now = useNow(1_000);
  return (
    <header className="desk-head">
      <div className="desk-name">
        <h1 className="desk-title">{title.trim() === "" ? "Procedure without a title" : title}</h1>
        <p className="soft">
          <span>{standing(draft, revision, save)}</span>
          {draft || save.state === "failed" ? <span>{` · ${keptWords(kept, now)}`}</span> : null}
          {offline ? <span className="desk-offline"> · server away</span> : null}
        </p>
        <p className="unseen" role="status">
          {announced(save, kept, offline)}
        </p>
        {equipment.length > 0 ? <p className="soft desk-equipment">{equipment.join(", ")}</p> : null}
      </div>
      <div className="desk-acts">
        <Button look="plain" small onClick={props.onShelf}>
          Procedures
        </Button>
        <Button
          look="plain"
          small
          onClick={props.onWalk}
          aria-disabled={noWalk !== undefined && !walking}
          title={walking ? undefined : noWalk}
        >
          {walking ? "End the walk" : "Walk it"}
        </Button>
        <Button
          look="plain"
          small
          onClick={props.onRehearse}
          aria-disabled={noWalk !== undefined && !rehearsing}
          title={rehearsing ? undefined : noWalk}
        >
          {rehearsing ? "Back to the text" : "Rehearse it"}
        </Button>
        <Button small onClick={props.onSave} disabled={save.state === "saving"}>
          {save.state === "saving" ? "Saving" : "Save"}
        </Button>
      </div>
    </header>
  );
}

/** What is spoken: only what changes seldom, never the seconds. */
function announced(save: SaveState, kept: KeptState, offline: boolean): string {
  if (save.state === "saved") return "Saved";
  if (kept.here === "no") return "This browser does not keep the draft";
  return offline ? "The server is away; the draft is kept in this browser" : "";
}

function standing(draft: boolean, revision: number | undefined, save: SaveState): string {
  const of = revision === undefined ? "" : ` of revision ${revision}`;
  if (save.state === "saving") return "saving";
  if (draft) return `draft${of}`;
  return `saved${revision === undefined ? "" : `, revision ${revision}`}`;
}

function keptWords(kept: KeptState, now: number): string {
  if (kept.here === "no") {
    return kept.server === "yes" ? "kept on the server only" : "kept in this window only: do not close it";
  }
  const where = kept.server === "no" ? "kept here" : "kept";
  if (kept.here === "writing" && kept.at === undefined) return "being kept";
  if (kept.at === undefined) return where;
  return `${where} ${ago(now - kept.at)}`;
}

/** Returns how long ago, in words short enough for a head line. */
function ago(ms: number): string {
  const seconds = Math.max(0, Math.round(ms / 1_000));
  if (seconds < 2) return "just now";
  if (seconds < 60) return `${seconds} s ago`;
  const minutes = Math.round(seconds / 60);
  return minutes < 60 ? `${minutes} min ago` : `${Math.round(minutes / 60)} h ago`;
}
