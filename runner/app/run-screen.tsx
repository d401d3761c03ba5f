import { useSelector } from "@xstate/react";
import { useEffect, useState, useSyncExternalStore } from "react";
import { promptOf } from "../../engine/machine/prompt-of.ts";
import type { Run } from "../../engine/machine/run.ts";
import type { Procedure } from "../../engine/procedure/model.ts";
import { posterior } from "../../engine/reasoning/posterior.ts";
import { Button } from "../kit/button.tsx";
import { EMPTY_DRAFT } from "../kit/card-draft.ts";
import type { CardEvent } from "../kit/card-event.ts";
import { promptProof } from "../kit/proof-text.ts";
import { refusalText } from "../kit/refusal-text.ts";
import { RunCard } from "../kit/run-card.tsx";
import { StillPossible } from "../kit/still-possible.tsx";
import { Trail } from "../kit/trail.tsx";
import { trailItems } from "../kit/trail-items.ts";
import type { RunSession, Sent } from "../session/run-session.ts";
import { draftOf } from "../session/typed-before.ts";
import { AmendCard } from "./amend-card.tsx";
import { usePreferences } from "./preferences.ts";
import { go } from "./route.ts";
import { RunHead } from "./run-head.tsx";
import "./run.css";
import { countedEvent } from "../../engine/machine/amend.ts";
import { unreadVerdict, VerdictCard } from "./verdict-card.tsx";
import { WhySheet } from "./why-sheet.tsx";

export interface RunScreenProps {
  readonly session: RunSession;
  /** Only one tab writes; the others look on. */
  readonly isWriter: boolean;
  readonly onTakeOver: () => void;
}

/** The job as it stands: head, trail, and one card. */
export function RunScreen({ session, isWriter, onTakeOver }: RunScreenProps) {
  const run = useSelector(session.actor, (snapshot) => snapshot.context.run);
  const { procedure } = session;
  const amend = (seq: number) => {
    const event = countedEvent(run, seq);
    if (event !== undefined) session.keepDraft({ amending: { seq, card: draftOf(event) } });
  };
  useEffect(() => {
    document.title = `${procedure.title} · Probewright`;
    return () => {
      document.title = "Probewright";
    };
  }, [procedure]);
  return (
    <div className="bench bench-wide">
      <RunHead session={session} run={run} />
      {isWriter ? (
        <Waiting session={session} run={run} />
      ) : (
        <div className="run-bar" role="alert">
          <span>This job is open in another tab. Here you only look on.</span>
          <Button look="plain" small onClick={onTakeOver}>
            Go on here instead
          </Button>
        </div>
      )}
      <div className="run-side">
        <Trail items={trailItems(procedure, run)} {...(isWriter ? { onAmend: amend } : {})} />
        <Odds procedure={procedure} run={run} />
      </div>
      <main className="card" data-seq={run.events.length}>
        <CardOfRun session={session} run={run} isWriter={isWriter} onAmend={amend} />
      </main>
    </div>
  );
}

/** Says that the step on the card was chosen, and leads back to the one that waits. */
function Waiting({ session, run }: { readonly session: RunSession; readonly run: Run }) {
  const { waiting } = run;
  if (waiting === undefined) return null;
  const title = session.procedure.steps.get(waiting)?.title ?? waiting;
  return (
    <div className="run-bar" role="status">
      <span>You chose this step. “{title}” waits.</span>
      <Button look="plain" small onClick={() => void session.send({ type: "choose", step: waiting })}>
        Back to it
      </Button>
    </div>
  );
}

/** On a wide screen there is room to see what is still possible all the time. */
function Odds({ procedure, run }: { readonly procedure: Procedure; readonly run: Run }) {
  if (procedure.faults.size < 2 || run.phase === "ended") return null;
  return (
    <aside className="run-odds" aria-label="What is still possible">
      <StillPossible faults={posterior(procedure, run).faults} />
    </aside>
  );
}

function CardOfRun({
  session,
  run,
  isWriter,
  onAmend,
}: {
  readonly session: RunSession;
  readonly run: Run;
  readonly isWriter: boolean;
  readonly onAmend: (seq: number) => void;
}) {
  const status = useSyncExternalStore(session.subscribe, session.getStatus);
  const { system } = usePreferences();
  const [trouble, setTrouble] = useState<string | undefined>(undefined);
  const [isWhy, setWhy] = useState(false);
  const { procedure } = session;
  const { draft } = status;
  const busy = status.busy || !isWriter;
  const send = (event: CardEvent) => {
    setTrouble(undefined);
    void session.send(event).then((sent) => {
      if (sent.ok) return;
      setTrouble(troubleText(sent));
      backToField(session, sent);
    });
  };
  const card = {
    procedure,
    system,
    busy,
    onEvent: send,
    ...(trouble === undefined ? {} : { refusal: trouble }),
  };

  if (draft.amending !== undefined)
    return (
      <AmendCard
        key={`amend ${draft.amending.seq}`}
        card={card}
        run={run}
        amending={draft.amending}
        onDraft={(amended) =>
          draft.amending && session.keepDraft({ amending: { seq: draft.amending.seq, card: amended } })
        }
        onClose={() => {
          setTrouble(undefined);
          session.keepDraft({ amending: null });
        }}
      />
    );
  const verdict = unreadVerdict(procedure, run, draft.seen);
  const why = isWhy ? (
    <WhySheet
      procedure={procedure}
      run={run}
      onClose={() => setWhy(false)}
      {...(procedure.freeOrder && !busy
        ? {
            onChoose: (step: string) => {
              setWhy(false);
              // Whoever goes on to another step has read the verdict.
              session.keepDraft({ seen: run.events.length });
              send({ type: "choose", step });
            },
          }
        : {})}
    />
  ) : null;
  if (verdict !== undefined)
    return (
      <>
        <VerdictCard
          key={`verdict ${verdict.seq}`}
          verdict={verdict}
          procedure={procedure}
          run={run}
          system={system}
          onOn={() => session.keepDraft({ seen: verdict.seq })}
          onChange={() => onAmend(verdict.seq)}
          onLeads={() => {
            const event = countedEvent(run, verdict.seq);
            if (event !== undefined)
              session.keepDraft({
                amending: { seq: verdict.seq, card: { ...draftOf(event), field: "leads" } },
              });
          }}
          onWhy={() => setWhy(true)}
        />
        {why}
      </>
    );
  // Where the order is free, before anything is taken apart is when to choose.
  const isAsked = run.phase === "open" || (procedure.freeOrder && run.phase === "ready");
  const prompt = promptOf(procedure, run);
  const proof = promptProof(procedure, run, prompt);
  const mayAskWhy = isAsked && procedure.faults.size > 1;
  return (
    <>
      <RunCard
        key={run.events.length}
        {...card}
        prompt={prompt}
        {...(proof === undefined ? {} : { proof })}
        step={run.step}
        draft={draft.events === run.events.length ? draft.card : EMPTY_DRAFT}
        onDraft={(next) => session.keepDraft({ card: next })}
        onPause={() => go({ page: "home" })}
        onReport={() => go({ page: "report", run: run.opening.run })}
        {...(mayAskWhy ? { onWhy: () => setWhy(true) } : {})}
      />
      {why}
    </>
  );
}

function troubleText(sent: Sent & { readonly ok: false }): string {
  switch (sent.code) {
    case "refused":
      return refusalText(sent.refusal);
    case "moved-on":
      return "This job went on in another tab. What stands here now is what comes next.";
    case "not-kept":
      return "This was not taken: the device could not store it. Free some room, then try again. What you typed is still here.";
  }
}

/** A reading that was refused for its leads or temperature leads back to that field. */
function backToField(session: RunSession, sent: Sent & { readonly ok: false }): void {
  if (sent.code !== "refused" || sent.refusal.code !== "bad-reading") return;
  const { field } = sent.refusal.problem;
  const { draft } = session.getStatus();
  if (draft.amending === undefined) session.keepDraft({ card: { ...draft.card, field } });
  else session.keepDraft({ amending: { ...draft.amending, card: { ...draft.amending.card, field } } });
}
