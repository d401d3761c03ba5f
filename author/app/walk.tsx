import { useActorRef, useSelector } from "@xstate/react";
import { useEffect, useMemo, useState } from "react";
import { advance } from "../../engine/machine/advance.ts";
import type { RunEvent } from "../../engine/machine/event.ts";
import { promptOf } from "../../engine/machine/prompt-of.ts";
import type { PathRow } from "../../engine/machine/run.ts";
import { toStatechart } from "../../engine/machine/statechart.ts";
import { promptName } from "../../engine/machine/walk.ts";
import type { Procedure } from "../../engine/procedure/model.ts";
import { Button } from "../../runner/kit/button.tsx";
import { type CardDraft, EMPTY_DRAFT } from "../../runner/kit/card-draft.ts";
import type { CardEvent } from "../../runner/kit/card-event.ts";
import { promptProof } from "../../runner/kit/proof-text.ts";
import { refusalText } from "../../runner/kit/refusal-text.ts";
import { RunCard } from "../../runner/kit/run-card.tsx";
import { type WayRow, wayWords } from "./way-words.ts";
import { nextReading, walkWitness } from "./witness-run.ts";

export interface WalkProps {
  /** The procedure as it stood when the walk was begun: typing on does not pull it away underfoot. */
  readonly procedure: Procedure;
  /** The way to be walked first. */
  readonly witness: readonly WayRow[];
  /** Tells where the walk stands and how it came there. */
  readonly onMove: (step: string, path: readonly PathRow[]) => void;
  readonly onAgain: () => void;
}

/** A walk through the procedure by hand, on the same statechart that a technician's run walks. Kept nowhere. */
export function Walk({ procedure, witness, onMove, onAgain }: WalkProps) {
  const machine = useMemo(() => toStatechart(procedure), [procedure]);
  const [begun] = useState(Date.now);
  const actor = useActorRef(machine, { input: { run: "rehearsal", at: begun } });
  const run = useSelector(actor, ({ context }) => context.run);
  const [draft, setDraft] = useState<CardDraft>(EMPTY_DRAFT);
  const [refusal, setRefusal] = useState<string>();
  const prompt = promptOf(procedure, run);

  useEffect(() => {
    if (witness.length === 0 || actor.getSnapshot().context.run.events.length > 0) return;
    const walked = walkWitness(procedure, witness, begun);
    for (const event of walked.run.events) actor.send(event);
    const typed = nextReading(witness, walked.run);
    if (typed !== undefined) setDraft(readingDraft(typed));
    if (walked.refusal) setRefusal(refusalText(walked.refusal));
  }, [actor, procedure, witness, begun]);

  const { step, path } = run;
  useEffect(() => onMove(step, path), [step, path, onMove]);

  const take = (event: CardEvent) => {
    const timed = { ...event, at: Date.now() } as RunEvent;
    const next = advance(procedure, run, timed);
    if (!next.ok) {
      setRefusal(refusalText(next.refusal));
      return;
    }
    setRefusal(undefined);
    setDraft(EMPTY_DRAFT);
    actor.send(timed);
  };

  const proof = promptProof(procedure, run, prompt);
  return (
    <div className="walk">
      <div className="walk-head">
        <p>
          <strong>Walking it.</strong> <span className="soft">Not in the shop's records.</span>
        </p>
        <Button look="quiet" onClick={onAgain}>
          Begin again
        </Button>
      </div>
      {path.length > 0 ? (
        <ol className="walk-trail" aria-label="The way so far">
          {path.map((row) => (
            <li key={`${row.seq} ${row.step}`} className="way-chip">
              {wayWords(procedure, row)}
            </li>
          ))}
        </ol>
      ) : null}
      <div className="card walk-card">
        <RunCard
          key={`${run.events.length} ${prompt.kind} ${promptName(prompt)}`}
          prompt={prompt}
          procedure={procedure}
          step={run.step}
          draft={draft}
          onDraft={setDraft}
          onEvent={take}
          system="si"
          {...(proof === undefined ? {} : { proof })}
          {...(refusal === undefined ? {} : { refusal })}
        />
      </div>
    </div>
  );
}

/** A reading as it would stand on the keypad: the number typed, the unit chosen. */
function readingDraft(reading: string): CardDraft {
  const [number = "", unit] = reading.trim().split(/\s+/);
  return {
    ...EMPTY_DRAFT,
    typed: { reading: number },
    unit: unit === undefined ? {} : { reading: unit },
  };
}
