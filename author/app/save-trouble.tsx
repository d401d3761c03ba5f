import { Button } from "../../runner/kit/button.tsx";
import type { SaveState } from "./use-procedure.ts";

/** Says why saving did not work and what can be done; the draft is untouched either way. */
export function SaveTrouble({ save, onOver }: { readonly save: SaveState; readonly onOver: () => void }) {
  if (save.state === "failed") {
    return (
      <section className="notice-bar" role="alert">
        <p>Not saved: {save.message} The draft is kept; save again later.</p>
      </section>
    );
  }
  if (save.state !== "moved") return null;
  return (
    <section className="notice-bar" role="alert">
      <p>
        Not saved: somebody else changed the saved text since this one was begun. Theirs is offered above;
        take it to see it, undo to come back.
      </p>
      <div className="notice-acts">
        <Button small look="plain" onClick={onOver}>
          Save mine over it
        </Button>
      </div>
    </section>
  );
}
