import { useEffect, useRef } from "react";
import { countedEvent } from "../../engine/machine/amend.ts";
import { own } from "../../engine/machine/own.ts";
import { promptOf } from "../../engine/machine/prompt-of.ts";
import type { Run } from "../../engine/machine/run.ts";
import type { MeasureStep, Procedure } from "../../engine/procedure/model.ts";
import type { UnitSystem } from "../../engine/quantity/format.ts";
import type { JudgedReading } from "../../engine/quantity/judge.ts";
import { posterior } from "../../engine/reasoning/posterior.ts";
import { Acts } from "../kit/acts.tsx";
import { Button } from "../kit/button.tsx";
import { StillPossible } from "../kit/still-possible.tsx";
import { Verdict } from "../kit/verdict.tsx";
import { verdictWord } from "../kit/verdict-words.ts";
import { verdictZones } from "../kit/verdict-zones.ts";
import { onwardText } from "./onward-text.ts";

export interface UnreadVerdict {
  readonly seq: number;
  readonly step: MeasureStep;
  readonly judged: JudgedReading;
}

/** The verdict on the reading just taken, unless it was read already or nothing was judged. */
export function unreadVerdict(procedure: Procedure, run: Run, seen: number): UnreadVerdict | undefined {
  const seq = run.events.length;
  const event = countedEvent(run, seq);
  if (seq <= seen || event?.type !== "reading") return undefined;
  const step = procedure.steps.get(event.step);
  const judged = own(run.readings, event.step);
  if (step?.kind !== "measure" || judged === undefined || judged.bands.length === 0) return undefined;
  return { seq, step, judged };
}

/** What a reading means, before the run goes on. */
export function VerdictCard({
  verdict,
  procedure,
  run,
  system,
  onOn,
  onChange,
  onLeads,
  onWhy,
}: {
  readonly verdict: UnreadVerdict;
  readonly procedure: Procedure;
  readonly run: Run;
  readonly system: UnitSystem;
  /** Read; the run goes on. */
  readonly onOn: () => void;
  readonly onChange: () => void;
  /** Enter a reading of the leads for this measurement. */
  readonly onLeads: () => void;
  readonly onWhy: () => void;
}) {
  const { step, judged } = verdict;
  const title = useRef<HTMLHeadingElement>(null);
  useEffect(() => {
    title.current?.focus({ preventScroll: true });
    window.scrollTo(0, 0);
  }, []);
  const zones = verdictZones(step, judged);
  const tooClose = judged.verdict === "too-close";
  const asksAgain = run.step === step.id && run.phase !== "ended";
  // Leads measured now can only take the place of leads that are subtracted.
  const mayMeasureLeads =
    tooClose &&
    step.correct?.leads === "subtract" &&
    judged.settle.some((advice) => advice.kind === "measure-leads");
  return (
    <div className="card-step">
      <p className="eyebrow">{step.title}</p>
      <h1 ref={title} tabIndex={-1}>
        {verdictWord(judged, zones)}
      </h1>
      <div className="card-body" aria-live="polite">
        <Verdict judged={judged} zones={zones} system={system} />
        {tooClose || procedure.faults.size < 2 ? null : (
          <div className="run-possible card-body">
            <hr className="divide" />
            <StillPossible faults={posterior(procedure, run).faults} />
          </div>
        )}
      </div>
      <Acts>
        {mayMeasureLeads ? <Button onClick={onLeads}>Measure the leads</Button> : null}
        <Button look={mayMeasureLeads ? "plain" : "act"} onClick={onOn}>
          {asksAgain ? `Measure again: ${step.title}` : onwardText(promptOf(procedure, run), procedure)}
        </Button>
        <div className="quiet-acts">
          <Button look="quiet" onClick={onChange}>
            Change the reading
          </Button>
          {run.phase === "ended" ? null : (
            <Button look="quiet" onClick={onWhy}>
              Why this next?
            </Button>
          )}
        </div>
      </Acts>
    </div>
  );
}
