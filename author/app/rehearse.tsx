import { type FormEvent, useId, useState } from "react";
import type { Procedure } from "../../engine/procedure/model.ts";
import { Button } from "../../runner/kit/button.tsx";
import { RehearsalResult } from "./rehearsal-result.tsx";
import { type Rehearsed, useRehearsal } from "./use-rehearsal.ts";
import "./rehearse.css";

const RUNS = [1_000, 10_000, 100_000, 1_000_000] as const;

/** Random faults and readings walked through the procedure as it is written now, and how they came out. */
export function Rehearse({
  procedure,
}: {
  /** Absent while the text can't be walked. */
  readonly procedure: Procedure | undefined;
}) {
  const id = useId();
  const [runs, setRuns] = useState<number>(10_000);
  const [slips, setSlips] = useState("0");
  const [seed, setSeed] = useState("1");
  const { rehearsed, begin, stop } = useRehearsal();
  const running = rehearsed?.state === "running";
  const onSubmit = (event: FormEvent) => {
    event.preventDefault();
    if (running) stop();
    else if (procedure) begin({ procedure, runs, setting: { seed: whole(seed), slips: percent(slips) } });
  };
  const stale = rehearsed !== undefined && procedure?.hash !== rehearsed.request.procedure.hash;
  const aside =
    procedure === undefined
      ? "It can be rehearsed once its names and its text are mended."
      : stale
        ? "The text has changed since. Rehearse it again to see what that does."
        : undefined;
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
        <NumberField
          label="Slips, %"
          most="100"
          step="any"
          text={slips}
          onText={setSlips}
          disabled={running}
        />
        <NumberField label="Seed" most="100000000" step="1" text={seed} onText={setSeed} disabled={running} />
        <Button
          small
          type="submit"
          look={running ? "plain" : "act"}
          disabled={!running && procedure === undefined}
        >
          {running ? "Stop and keep the counts" : "Rehearse"}
        </Button>
      </form>
      {rehearsed === undefined ? null : <Progress {...rehearsed} />}
      <p className="rehearse-note-bar" role="status" hidden={aside === undefined}>
        {aside}
      </p>
      {rehearsed?.news === undefined ? (
        <p className="rehearse-none soft">{noCountsYet(rehearsed)}</p>
      ) : (
        <RehearsalResult procedure={rehearsed.request.procedure} news={rehearsed.news} />
      )}
    </div>
  );
}

function noCountsYet(rehearsed: Rehearsed | undefined): string {
  if (rehearsed === undefined) return "Nothing rehearsed yet. The same seed gives the same runs.";
  return rehearsed.state === "running" ? "The first runs are being walked." : "No runs were counted.";
}

interface NumberFieldProps {
  readonly label: string;
  readonly most: string;
  readonly step: string;
  readonly text: string;
  readonly onText: (text: string) => void;
  readonly disabled: boolean;
}

/** A number from 0 up, as typed. */
function NumberField({ label, most, step, text, onText, disabled }: NumberFieldProps) {
  const id = useId();
  return (
    <div className="rehearse-field">
      <label htmlFor={id}>{label}</label>
      <input
        id={id}
        type="number"
        min="0"
        max={most}
        step={step}
        required
        value={text}
        disabled={disabled}
        onChange={({ target }) => onText(target.value)}
      />
    </div>
  );
}

function Progress({ request: { runs: asked }, state, news }: Rehearsed) {
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
