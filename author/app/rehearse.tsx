import { type FormEvent, useId, useState } from "react";
import type { Procedure } from "../../engine/procedure/model.ts";
import { Button } from "../../runner/kit/button.tsx";
import { RehearsalResult } from "./rehearsal-result.tsx";
import { type Rehearsed, useRehearsal } from "./use-rehearsal.ts";
import "./rehearse.css";

const RUNS = [1_000, 10_000, 100_000, 1_000_000] as const;

/** Random faults and readings walked through the procedure, and how they came out. */
export function Rehearse({ procedure }: { readonly procedure: Procedure }) {
  const id = useId();
  const [runs, setRuns] = useState<number>(10_000);
  const [slips, setSlips] = useState("0");
  const [seed, setSeed] = useState("1");
  const { rehearsed, begin, stop } = useRehearsal();
  const running = rehearsed?.state === "running";
  const onSubmit = (event: FormEvent) => {
    event.preventDefault();
    if (running) stop();
    else begin({ procedure, runs, setting: { seed: whole(seed), slips: percent(slips) } });
  };
  return (
    <div className="rehearse">
      <form className="rehearse-form" onSubmit={onSubmit}>
        <p className="rehearse-idea soft">
          Faults drawn by their priors, answers by the evidence, readings with the meter's error. Not in the
          shop's records.
        </p>
        <div className="rehearse-field">
          <label htmlFor={`${id}-runs`}>Runs</label>
          <select
            id={`${id}-runs`}
            value={runs}
            disabled={running}
            onChange={({ target }) => setRuns(Number(target.value))}
          >
            {RUNS.map((count) => (
              <option key={count} value={count}>
                {count.toLocaleString("en")}
              </option>
            ))}
          </select>
        </div>
        <div className="rehearse-field">
          <label htmlFor={`${id}-slips`}>Slips, %</label>
          <input
            id={`${id}-slips`}
            type="number"
            min="0"
            max="100"
            step="any"
            required
            value={slips}
            disabled={running}
            onChange={({ target }) => setSlips(target.value)}
          />
        </div>
        <div className="rehearse-field">
          <label htmlFor={`${id}-seed`}>Seed</label>
          <input
            id={`${id}-seed`}
            type="number"
            min="0"
            max="100000000"
            step="1"
            required
            value={seed}
            disabled={running}
            onChange={({ target }) => setSeed(target.value)}
          />
        </div>
        <Button small type="submit" look={running ? "plain" : "act"}>
          {running ? "Stop and keep the counts" : "Rehearse"}
        </Button>
      </form>
      {rehearsed === undefined ? null : <Progress {...rehearsed} />}
      {rehearsed?.news === undefined ? (
        <p className="rehearse-none soft">
          {rehearsed === undefined
            ? "Nothing rehearsed yet. The same seed gives the same runs."
            : "The first runs are being walked."}
        </p>
      ) : (
        <RehearsalResult procedure={procedure} news={rehearsed.news} />
      )}
    </div>
  );
}

function Progress({ asked, state, news }: Rehearsed) {
  const done = news?.report.runs ?? 0;
  const counted = `${done.toLocaleString("en")} of ${asked.toLocaleString("en")} runs`;
  const words = {
    running: `${counted} counted`,
    done: `All ${asked.toLocaleString("en")} runs counted`,
    stopped: `Stopped: ${counted} counted`,
    failed:
      "The rehearsal itself failed on this procedure. What you typed is kept; please report it with the text.",
  };
  return (
    <div className="rehearse-progress">
      <progress aria-label="Runs counted" max={asked} value={done} />
      <p>{words[state]}</p>
      <p className="unseen" role="status">
        {state === "running" ? "Rehearsing" : words[state]}
      </p>
    </div>
  );
}

function percent(text: string): number {
  return Math.min(1, Math.max(0, Number(text) / 100 || 0));
}

function whole(text: string): number {
  return Math.max(0, Math.trunc(Number(text) || 0));
}
