/** `probewright plan`: the written order of the steps against the best one. */
import type { Procedure } from "../../engine/procedure/model.ts";
import {
  type PlanReport,
  type PlanTree,
  planned,
  planReport,
} from "../../engine/reasoning/plan/plan-report.ts";
import { loadForRun } from "./load-file.ts";
import { failUsage, type Output } from "./output.ts";

export interface PlanOptions {
  readonly equipment?: string;
  readonly json?: boolean;
}

/** The exit code: 0, or 2 where the file can't be planned. */
export function planCommand(file: string, options: PlanOptions, output: Output): number {
  const asJson = options.json === true;
  const loaded = loadForRun(file, options.equipment, output);
  if (!loaded.ok) return failUsage(output, loaded.error, asJson);
  const report = planReport(planned(loaded.value));
  if (asJson) output.json(report);
  else print(loaded.value, report, output);
  return 0;
}

function print(procedure: Procedure, report: PlanReport, output: Output): void {
  const { written, best, lowerBound, moves, withMoves } = report;
  const title = (step: string) => procedure.steps.get(step)?.title ?? step;
  output.line(`${procedure.title}: minutes to the conclusion on average`);
  output.line(`  as written  ${minutes(written.expectedMinutes)}`);
  output.line(
    `  best order  ${minutes(best.expectedMinutes)}, ${best.exact ? "proven" : `at most ${percent(best.expectedMinutes / lowerBound - 1)} above the best there can be`}`,
  );
  output.line(`  not below   ${minutes(lowerBound)}`);
  output.line(
    `  as written takes ${percent(written.expectedMinutes / best.expectedMinutes - 1)} longer than the best`,
  );
  if (moves.length === 0) output.line("No single move of a step saves anything worth it.");
  for (const { ask, before, saves } of moves)
    output.line(`  ask ${title(ask)} before ${title(before)}: saves ${saves.toFixed(1)} minutes on average`);
  if (moves.length > 1) output.line(`  with these moves ${minutes(withMoves.expectedMinutes)}`);
  for (const { faults, order, expectedMinutes } of report.repairs)
    output.line(
      `  ${faults.map((fault) => procedure.faults.get(fault)?.title ?? fault).join(", ")}: repair in the order ${order
        .map((repair) => procedure.repairs.get(repair)?.title ?? repair)
        .join(", ")}; ${minutes(expectedMinutes)} on average until one helps`,
    );
  output.line("The best order, ways under 1 in 100 left out:");
  printTree(procedure, best.tree, "  ", output);
}

const SHOWN = 0.01;

function printTree(procedure: Procedure, tree: PlanTree, indent: string, output: Output): void {
  if (!("step" in tree)) return;
  const step = procedure.steps.get(tree.step);
  output.line(`${indent}${step?.title ?? tree.step}`);
  for (const { outcome, probability, next } of tree.outcomes) {
    if (probability < SHOWN) continue;
    const leaf = leafText(procedure, next);
    output.line(
      `${indent}  ${outcomeText(procedure, tree.step, outcome)} (${percent(probability)})${leaf && `: ${leaf}`}`,
    );
    printTree(procedure, next, `${indent}    `, output);
  }
}

/** Empty where more is asked. */
function leafText(procedure: Procedure, tree: PlanTree): string {
  const titles = (faults: readonly string[]) =>
    faults.map((fault) => procedure.faults.get(fault)?.title ?? fault).join(" or ");
  if ("concluded" in tree) return titles(tree.concluded);
  if ("ended" in tree) return "ends as written";
  if ("unresolved" in tree) return `not told apart: ${titles(tree.unresolved)}`;
  return "rare" in tree ? "rare" : "";
}

function outcomeText(procedure: Procedure, id: string, outcome: string): string {
  const step = procedure.steps.get(id);
  if (step?.kind === "ask") return step.answers.find((answer) => answer.id === outcome)?.label ?? outcome;
  if (step?.kind === "measure" && step.judged.by === "bands")
    return step.judged.bands.find((band) => band.id === outcome)?.label ?? outcome;
  return outcome;
}

function minutes(value: number): string {
  return `${value.toFixed(1)} min`;
}

function percent(share: number): string {
  return `${(100 * share).toFixed(1)} %`;
}
