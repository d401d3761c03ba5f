import { runBefore } from "../../engine/machine/amend.ts";
import type { RunEvent } from "../../engine/machine/event.ts";
import { promptOf } from "../../engine/machine/prompt-of.ts";
import type { Run } from "../../engine/machine/run.ts";
import type { CardDraft } from "../kit/card-draft.ts";
import type { CardEvent } from "../kit/card-event.ts";
import { RunCard } from "../kit/run-card.tsx";
import type { RunCardProps } from "../kit/run-card-props.ts";

/** An earlier prompt once more, with what was typed then; the answer replaces the earlier one. */
export function AmendCard({
  card,
  run,
  amending,
  onDraft,
  onClose,
}: {
  readonly card: Pick<RunCardProps, "procedure" | "system" | "busy" | "onEvent" | "refusal">;
  readonly run: Run;
  readonly amending: { readonly seq: number; readonly card: CardDraft };
  readonly onDraft: (draft: CardDraft) => void;
  readonly onClose: () => void;
}) {
  const before = runBefore(card.procedure, run, amending.seq);
  if (before === undefined) return null;
  const replace = (event: CardEvent) =>
    card.onEvent({
      type: "amend",
      seq: amending.seq,
      // Its time is the amendment's own, which the session puts on the whole.
      event: { ...event, at: Date.now() } as RunEvent,
    });
  return (
    <>
      <p className="eyebrow">
        Changing an earlier answer. What followed is walked again where it still fits.
      </p>
      <RunCard
        {...card}
        prompt={promptOf(card.procedure, before)}
        step={before.step}
        draft={amending.card}
        onDraft={onDraft}
        onEvent={replace}
        onKeepAsItWas={onClose}
      />
    </>
  );
}
