/** `probewright plan`: the written order of the steps against the best one. */
import { writeFileSync } from "node:fs";
import { basename, extname } from "node:path";
import type { Procedure } from "../../engine/procedure/model.ts";
import type { FoundShares } from "../../engine/reasoning/plan/found-shares.ts";
import {
  type NotCompared,
  type Planned,
  type PlanReport,
  type PlanTree,
  planned,
  planReport,
} from "../../engine/reasoning/plan/plan-report.ts";
import { type PlanText, planText } from "../../engine/reasoning/plan/plan-text.ts";
import type { StayReason } from "../../engine/reasoning/plan/staying.ts";
import { writtenPlan } from "../../engine/reasoning/plan/written-plan.ts";
import { outcomeWords } from "../kit/trail-items.ts";
import { type CheckedFile, checkText, loadForRun } from "./load-file.ts";
import { failUsage, type Output } from "./output.ts";
import { waitingWord } from "./progress-bar.ts";
import { readText } from "./read-file.ts";
import { type Outcome, unusable } from "./usage-error.ts";

export interface PlanOptions {
  readonly equipment?: string;
  /** The file to write the best order to, as a procedure of its own. */
  readonly write?: string;
  readonly json?: boolean;
}

/** The exit code: 0, or 2 where the file can't be planned. */
export function planCommand(file: string, options: PlanOptions, output: Output): number {
  const asJson = options.json === true;
  const { write } = options;
  if (write !== undefined && (extname(write) !== ".yaml" || !ID.test(basename(write, ".yaml")))) {
    const message = `--write ${write}: a file name of words with hyphens between and .yaml at its end is needed.`;
    return failUsage(output, { code: "bad-option", message }, asJson);
  }
  const loaded = loadForRun(file, options.equipment, output);
  if (!loaded.ok) return failUsage(output, loaded.error, asJson);
  const arrived = waitingWord("Looking for the best order; some ten seconds at most. Ctrl-C stops.");
  const both = planned(loaded.value);
  arrived();
  if (both === undefined)
    return failUsage(
      output,
      {
        code: "endless",
        message: "It can go round for ever, so no order can be reckoned. Mend first what check finds.",
        file,
      },
      asJson,
    );
  const report = planReport(both);
  let cutShort: readonly string[] = [];
  if (write !== undefined) {
    const written = writeBest(file, write, both);
    if (!written.ok) return failUsage(output, written.error, asJson);
    cutShort = written.value;
  }
  if (asJson) output.json({ ...report, ...(write === undefined ? {} : { file: write, cutShort }) });
  else {
    print(loaded.value, report, output);
    output.line(
      "Only minutes are compared, and no test moves past a step that keeps its place. What must come first by a step's words alone the planner can't know: read each move before you make it.",
    );
    if (write !== undefined) {
      output.line(`${write} is written. Read it beside your own, then prove it: probewright check ${write}`);
      output.line("In it a repair that did not help ends the job, also where yours goes on.");
      if (cutShort.length > 0)
        output.line(
          `So do these where they can't be made or are too close to call, which yours lead on: ${cutShort.map((step) => loaded.value.steps.get(step)?.title ?? step).join(", ")}.`,
        );
    }
  }
  return 0;
}

const ID = /^[A-Za-z0-9_]+(-[A-Za-z0-9_]+)*$/;

/**
 * Writes the best order as a procedure named as its file; never over a file that is there, and not a text that
 * `check` finds an error in which the text it comes from has not. The steps that it cuts short.
 */
function writeBest(from: string, to: string, { plan, best, asWritten }: Planned): Outcome<readonly string[]> {
  const id = basename(to, ".yaml");
  const read = readText(from);
  if (!read.ok) return read;
  if (!("text" in read.value))
    return unusable({ code: "not-readable", message: "This could not be read.", file: from });
  if (asWritten !== undefined)
    return unusable({
      code: "not-writable",
      message: "No other order was found that could take the place of yours, so nothing was written.",
      file: from,
    });
  const text = planText(read.value.text, plan, writtenPlan(plan, best), id);
  if (!text.ok)
    return unusable({
      code: "not-writable",
      message: notWritable(text),
      file: from,
    });
  const before = new Set(errorsIn(checkText(read.value.text, from)).map(({ code }) => code));
  const worse = errorsIn(checkText(text.text, to)).find(({ code }) => !before.has(code));
  if (worse !== undefined)
    return unusable({
      code: "not-sound",
      message: `The best order would have to be mended, so nothing was written. Move steps by hand instead. In it: ${worse.message}`,
      file: from,
    });
  try {
    // "wx": an author's file is never written over.
    writeFileSync(to, text.text, { flag: "wx" });
    return { ok: true, value: text.cutShort };
  } catch (thrown) {
    const exists = thrown instanceof Error && "code" in thrown && thrown.code === "EEXIST";
    return unusable(
      exists
        ? { code: "exists", message: "This file is there already; nothing was written over.", file: to }
        : { code: "not-writable", message: "This file can't be written here.", file: to },
    );
  }
}

function notWritable({ step, why }: Extract<PlanText, { ok: false }>): string {
  switch (why) {
    case "several-places":
      return `The best order asks “${step}” in several places, and a condition uses its reading; write this one by hand.`;
    case "condition":
      return `Where “${step}” leads hangs on a condition, which no order is written around; move steps by hand instead.`;
    case "call":
      return `The best order would make the call “${step}” in several places, or with other things taken apart before or after it, or go on from it by more than what it returns; write this one by hand.`;
  }
}

function errorsIn(checked: CheckedFile) {
  return checked.findings.filter(({ severity }) => severity === "error");
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
  const longer = written.expectedMinutes / best.expectedMinutes - 1;
  if (Number.isFinite(longer) && longer >= 0)
    output.line(`  as written takes ${percent(longer)} longer than the best`);
  foundLines(report, output);
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
  for (const line of [
    ...stayLines(procedure, report),
    ...report.notCompared.map((one) => left(procedure, one)),
  ])
    output.line(line);
  output.line("The best order, ways under 1 in 100 left out:");
  printTree(procedure, best.tree, "  ", output);
}

/** What each order finds, so that a cheaper one that finds less is seen. */
function foundLines({ written, best, moves, withMoves }: PlanReport, output: Output): void {
  const inWords = ({ isolated, wrong, unresolved }: FoundShares) =>
    `right ${percent(isolated)}, wrong ${percent(wrong)}, not found ${percent(unresolved)}`;
  const orders: readonly (readonly [string, FoundShares | undefined])[] = [
    ["as written", written.shares],
    ["best order", best.shares],
    ...(moves.length > 0 ? [["with the moves", withMoves.shares] as const] : []),
  ];
  const told = orders.flatMap(([name, shares]) =>
    shares === undefined ? [] : [[name, inWords(shares)] as const],
  );
  for (const words of new Set(told.map(([, each]) => each))) {
    const names = told.filter(([, each]) => each === words).map(([name]) => name);
    output.line(`  the fault, ${names.join(", ")}: ${words}`);
  }
}

const STAYS: Record<StayReason, string> = {
  act: "it holds an act or a question that makes sure",
  behind: "what makes it safe, or says whether it applies, is not the same step on all ways to it",
  condition: "a condition decides where it leads",
  leads: "one of its answers ends the job or asks for an act",
  licensed: "it meets high voltage or an airbag",
  reading: "it is judged by a reading or time of another step",
};

/** The steps that keep their place, those with the same reason together. */
function stayLines(procedure: Procedure, { stays }: PlanReport): readonly string[] {
  const byReason = new Map<StayReason, string[]>();
  for (const { step, why } of stays) {
    const titles = byReason.get(why) ?? [];
    titles.push(procedure.steps.get(step)?.title ?? step);
    byReason.set(why, titles);
  }
  return [...byReason].map(([why, titles]) => `  stays in its place, as ${STAYS[why]}: ${titles.join(", ")}`);
}

function left(procedure: Procedure, one: NotCompared): string {
  switch (one.why) {
    case "never-come-to":
      return `  in no order, as no answer that the evidence allows leads to it: ${procedure.steps.get(one.step)?.title ?? one.step}`;
    case "twice":
      return `  not compared with other orders, as it comes to a step twice before a repair: ${procedure.steps.get(one.step)?.title ?? one.step}`;
    case "too-large":
      return "  not compared with other orders, as it has too many ways";
    case "would-lose":
      return `  taken as written, as what is cheaper seldom finds: ${procedure.faults.get(one.fault)?.title ?? one.fault}`;
  }
}

const SHOWN = 0.01;

function printTree(procedure: Procedure, tree: PlanTree, indent: string, output: Output): void {
  if (!("step" in tree)) return;
  const step = procedure.steps.get(tree.step);
  output.line(`${indent}${step?.title ?? drawnTitle(procedure, tree.step)}`);
  for (const { outcome, probability, next } of tree.outcomes) {
    if (probability < SHOWN) continue;
    const leaf = leafText(procedure, next);
    output.line(
      `${indent}  ${outcomeWords(procedure.steps.get(tree.step), outcome)} (${percent(probability)})${leaf && `: ${leaf}`}`,
    );
    printTree(procedure, next, `${indent}    `, output);
  }
}

/** What turns a branch: a fact, or a condition on what was read. */
function drawnTitle(procedure: Procedure, id: string): string {
  const fact = procedure.facts.get(id.replace(/^facts\//, ""));
  const step = procedure.steps.get(id.slice(0, id.lastIndexOf("/")));
  return fact?.title ?? `Condition behind ${step?.title ?? id}`;
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

function minutes(value: number): string {
  return `${value.toFixed(1)} min`;
}

function percent(share: number): string {
  return `${(100 * share).toFixed(1)} %`;
}
