/** `probewright rehearse`: random faults and readings walked through a procedure, counted with intervals. */
import { type RehearsalReport, rehearsalReport } from "../../engine/audit/rehearsal-report.ts";
import type { Interval } from "../../engine/audit/wilson.ts";
import { bulkProcedure } from "../../engine/reasoning/bulk-procedure.ts";
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
  const report = rehearsalReport(bulkProcedure(loaded.value), counts);
  if (asJson) output.json(report);
  else print(report, options, output);
  return 0;
}

function print(report: RehearsalReport, asked: RehearseOptions, output: Output): void {
  const { runs, isolated, wrong, unresolved, expectedMinutes, p95Minutes } = report;
  const stopped = runs < asked.runs ? `, stopped before ${asked.runs}` : "";
  output.line(`${runs} runs, seed ${asked.seed}${stopped}`);
  const { shares } = report;
  output.line(`  right:      ${share(isolated, runs)}${range(shares.isolated)}`);
  output.line(`  wrong:      ${share(wrong, runs)}${range(shares.wrong)}`);
  output.line(`  unresolved: ${share(unresolved, runs)}${range(shares.unresolved)}`);
  output.line(
    `  minutes to the conclusion: ${minutes(expectedMinutes)} on average, 95 of 100 take ${minutes(p95Minutes)} or less`,
  );
  if (report.expectedCost)
    output.line(`  cost of the repairs concluded: ${report.expectedCost.toFixed(2)} on average`);
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
