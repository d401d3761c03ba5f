/** A finished or interrupted run as lines of text. */
import { putBackList } from "../../engine/machine/prompt-of.ts";
import type { PathRow, Run } from "../../engine/machine/run.ts";
import type { Procedure } from "../../engine/procedure/model.ts";
import { posterior } from "../../engine/reasoning/posterior.ts";
import { END_TITLES } from "../kit/end-titles.ts";
import { torqueLines } from "./show-prompt.ts";

/** Path, faults still possible, what is to be put back, and how it ended. */
export function resultLines(procedure: Procedure, run: Run): readonly string[] {
  const items = putBackList(procedure, run);
  return [
    procedure.title,
    ...run.path.map(pathLine),
    "",
    ...(run.concluded === undefined
      ? []
      : [`Found: ${run.concluded.map((id) => procedure.faults.get(id)?.title ?? id).join(", or ")}`]),
    run.end === undefined ? "The run is not at its end." : `${END_TITLES[run.end].heading}.`,
    `${run.minutes} minutes, nominal`,
    ...(items.length === 0 ? [] : ["", "To put back:"]),
    ...items.flatMap((item) => [
      `  [${item.done ? "x" : " "}] ${item.do}`,
      ...torqueLines(item.torque).map((line) => `      ${line}`),
    ]),
    "",
    ...possibleLines(procedure, run),
  ];
}

/** The faults still possible, as bars with words. */
export function possibleLines(procedure: Procedure, run: Run): readonly string[] {
  const { faults, atOdds } = posterior(procedure, run);
  const shown = faults.filter((fault) => fault.probability >= 0.005);
  const width = Math.max(0, ...shown.map((fault) => fault.title.length));
  return [
    "Still possible:",
    ...shown.map(
      ({ title, probability }) =>
        `  ${title.padEnd(width)}  ${"#".repeat(Math.round(probability * 20)).padEnd(20, ".")} ${Math.round(
          probability * 100,
        )
          .toString()
          .padStart(3)} %`,
    ),
    ...atOdds.map(
      (step) =>
        `These answers do not fit together: look again at “${procedure.steps.get(step)?.title ?? step}”.`,
    ),
  ];
}

/** One row of the path: step, what was read and what it means. */
export function pathLine(row: PathRow): string {
  const reading = row.reading === undefined ? "" : ` ${row.reading}`;
  const corrected =
    row.corrected === undefined || row.unit === undefined
      ? ""
      : ` (${roundedTo(row.corrected)} ${row.unit} corrected)`;
  return `  ${row.step}:${reading}${corrected} ${row.verdict === "too-close" ? `${row.outcome}, too close to call` : row.outcome}`;
}

function roundedTo(value: number): number {
  return Number(value.toPrecision(4));
}
