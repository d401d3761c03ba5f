/** `probewright rehearse`: random faults and readings walked through a procedure, counted with intervals. */
import { type RehearsalReport, rehearsalReport } from "../../engine/audit/rehearsal-report.ts";
import type { Interval } from "../../engine/audit/wilson.ts";
import { bulkProcedure } from "../../engine/reasoning/bulk-procedure.ts";
import { type Expectation, expectedRun } from "../../engine/reasoning/expected-run.ts";
import { intervalText } from "../kit/interval-text.ts";
import { notReckonedText } from "../kit/not-reckoned-text.ts";
import { loadForRun } from "./load-file.ts";
import { failUsage, type Output } from "./output.ts";
import { progressBar } from "./progress-bar.ts";
import { rehearseInParts, workersFor } from "./rehearse-parts.ts";

export interface RehearseOptions {
  readonly equipment?: string;
  readonly runs: number;
  readonly seed: number;
  /** How often the technician takes one answer for another, 0 to 1. */
  readonly slips: number;
  /** Threads; left out, as many as are worth it. The counts are the same for any number. */
  readonly workers?: number;
  readonly json?: boolean;
}

/** The exit code: 0, or 2 where the file can't be walked. Ctrl-C ends it early with what was counted so far. */
export async function rehearseCommand(
  file: string,
  options: RehearseOptions,
  output: Output,
): Promise<number> {
  const asJson = options.json === true;
  const loaded = loadForRun(file, options.equipment, output);
  if (!loaded.ok) return failUsage(output, loaded.error, asJson);
  const { runs, workers = workersFor(runs) } = options;
  const given = new AbortController();
  const giveUp = () => given.abort();
  process.once("SIGINT", giveUp);
  const progress = progressBar(runs);
  const counts = await rehearseInParts(loaded.value, options, {
    runs,
    workers,
    onPart: progress.show,
    signal: given.signal,
  });
  progress.clear();
  process.off("SIGINT", giveUp);
  const bulk = bulkProcedure(loaded.value);
  const report = rehearsalReport(bulk, counts);
  const exact = expectedRun(bulk, { slips: options.slips });
  if (asJson) output.json({ ...report, exact: exactly(exact) });
  else print(report, options, exact, output);
  return 0;
}

/** What the runs come to in the long run; null where there is too much to reckon, or readings decide the way. */
function exactly(exact: Expectation) {
  if (!exact.ok) return null;
  const [isolated = 0, wrong = 0, unresolved = 0] = exact.endings;
  return { isolated, wrong, unresolved, expectedMinutes: exact.minutes, expectedCost: exact.cost };
}

function print(report: RehearsalReport, asked: RehearseOptions, exact: Expectation, output: Output): void {
  const { runs, isolated, wrong, unresolved, expectedMinutes, p95Minutes } = report;
  const stopped = runs < asked.runs ? `, stopped before ${asked.runs}` : "";
  output.line(`${runs} runs, seed ${asked.seed}${stopped}`);
  const { shares } = report;
  output.line(`  right:      ${share(isolated, runs)}${range(shares.isolated)}`);
  output.line(`  wrong:      ${share(wrong, runs)}${range(shares.wrong)}`);
  output.line(`  unresolved: ${share(unresolved, runs)}${range(shares.unresolved)}`);
  output.line(
    `  minutes to the conclusion: ${minutes(expectedMinutes)} on average${intervalText(report.minutesInterval, 1)}, 95 of 100 take ${minutes(p95Minutes)} or less`,
  );
  if (exact.ok)
    output.line(
      `  in the long run, reckoned exactly: ${share(exact.endings[0] ?? 0, 1)} right, ${minutes(exact.minutes)}`,
    );
  else output.line(`  in the long run: not reckoned, for ${notReckonedText(exact.why)}`);
  if (report.expectedCost) {
    const cost = `${report.expectedCost.toFixed(2)} on average${intervalText(report.costInterval, 2)}`;
    output.line(`  cost of the repairs concluded: ${cost}`);
  }
  const width = Math.max(0, ...report.perFault.map(({ title }) => title.length));
  for (const fault of report.perFault)
    output.line(
      `  ${fault.title.padEnd(width)}  ${share(fault.isolated, fault.runs)} right, ${minutes(fault.expectedMinutes)}`,
    );
}

function share(count: number, of: number): string {
  return of === 0 ? "–" : `${((100 * count) / of).toFixed(1)} %`;
}

/** The 95 % interval of a share. */
function range(interval: Interval | null): string {
  return interval === null
    ? ""
    : ` (${(100 * interval.low).toFixed(1)} to ${(100 * interval.high).toFixed(1)} % at 95 % confidence)`;
}

function minutes(value: number | null): string {
  return value === null ? "–" : `${value.toFixed(1)} min`;
}
