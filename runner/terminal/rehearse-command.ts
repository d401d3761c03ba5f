/** `probewright rehearse`: random faults and readings walked through a procedure, counted with intervals. */
import { type RehearsalReport, rehearsalReport } from "../../engine/audit/rehearsal-report.ts";
import { bulkProcedure } from "../../engine/reasoning/bulk-procedure.ts";
import { rehearsal } from "../../engine/reasoning/rehearse.ts";
import { loadForRun } from "./load-file.ts";
import { failUsage, type Output } from "./output.ts";

export interface RehearseOptions {
  readonly equipment?: string;
  readonly runs: number;
  readonly seed: number;
  /** How often the technician takes one answer for another, 0 to 1. */
  readonly slips: number;
  readonly json?: boolean;
}

/** Runs rehearsed between two words on how far it has come. */
const AT_A_TIME = 20_000;

/** The exit code: 0, or 2 where the file can't be walked. */
export function rehearseCommand(file: string, options: RehearseOptions, output: Output): number {
  const asJson = options.json === true;
  const loaded = loadForRun(file, options.equipment, output);
  if (!loaded.ok) return failUsage(output, loaded.error, asJson);
  const bulk = bulkProcedure(loaded.value);
  const rehearsed = rehearsal(bulk, options);
  const shows = process.stderr.isTTY === true && options.runs > AT_A_TIME;
  for (let from = 0; from < options.runs; from += AT_A_TIME) {
    rehearsed.run(from, Math.min(options.runs, from + AT_A_TIME));
    if (shows) process.stderr.write(`\r${Math.round((100 * (from + AT_A_TIME)) / options.runs)} %`);
  }
  if (shows) process.stderr.write("\r      \r");
  const report = rehearsalReport(bulk, rehearsed.counts);
  if (asJson) output.json(report);
  else print(report, options.seed, output);
  return 0;
}

function print(report: RehearsalReport, seed: number, output: Output): void {
  const { runs, isolated, wrong, unresolved, expectedMinutes, p95Minutes } = report;
  output.line(`${runs} runs, seed ${seed}`);
  output.line(
    `  right: ${share(isolated, runs)}   wrong: ${share(wrong, runs)}   unresolved: ${share(unresolved, runs)}`,
  );
  output.line(
    `  minutes to the conclusion: ${minutes(expectedMinutes)} on average, ${minutes(p95Minutes)} at most for 95 of 100`,
  );
  const width = Math.max(0, ...report.perFault.map(({ title }) => title.length));
  for (const fault of report.perFault)
    output.line(
      `  ${fault.title.padEnd(width)}  ${share(fault.isolated, fault.runs)} right, ${minutes(fault.expectedMinutes)}`,
    );
}

function share(count: number, of: number): string {
  return of === 0 ? "–" : `${((100 * count) / of).toFixed(1)} %`;
}

function minutes(value: number | null): string {
  return value === null ? "–" : `${value.toFixed(1)} min`;
}
