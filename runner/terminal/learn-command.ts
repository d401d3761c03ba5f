/** `probewright learn`: what verified runs say about a procedure's numbers. Nothing is changed without `--write`. */
import { writeFileSync } from "node:fs";
import { type Learned, type LearnedNumber, learn } from "../../engine/audit/learn.ts";
import { type LearnedText, learnedText } from "../../engine/audit/learned-text.ts";
import { loadProcedure } from "../../engine/procedure/load.ts";
import type { Procedure } from "../../engine/procedure/model.ts";
import { outcomeWords } from "../kit/trail-items.ts";
import { openIntake } from "../server/intake.ts";
import { type TaughtRuns, taughtRuns } from "../server/taught-runs.ts";
import { openTrees } from "../server/trees.ts";
import { openSqliteStore } from "../store/sqlite-store.ts";
import { TREES } from "./folders.ts";
import { checkText, loadUsable } from "./load-file.ts";
import { failUsage, type Output } from "./output.ts";
import { libraryBeside, readText } from "./read-file.ts";

export interface LearnOptions {
  readonly data: string;
  /** How many runs the author's numbers count as. */
  readonly strength: number;
  /** The file to write the changed text into; never over one that is there. */
  readonly write?: string;
  readonly json?: boolean;
}

export async function learnCommand(file: string, options: LearnOptions, output: Output): Promise<number> {
  const asJson = options.json === true;
  const loaded = loadUsable(file, output);
  if (!loaded.ok) return failUsage(output, loaded.error, asJson);
  const { procedure } = loaded.value;
  const opened = openSqliteStore(options.data);
  if (!opened.ok) return failUsage(output, opened.problem, asJson);
  const taught = await taughtBy(opened.store, procedure);
  const learned = learn(procedure, taught.lessons, options.strength);
  let written: LearnedText | undefined;
  const nothing = learned.priors.length + learned.shares.length === 0;
  if (options.write !== undefined && !nothing) {
    const made = writeLearned(file, options.write, learned);
    if ("error" in made) return failUsage(output, made.error, asJson);
    written = made;
  }
  const told = { procedure, options, taught, learned };
  if (asJson) output.json(asValue(told, written));
  else print(told, written, output);
  return written === undefined || options.write === undefined
    ? 0
    : proved(written.text, file, options.write, output);
}

async function taughtBy(
  store: (ReturnType<typeof openSqliteStore> & { ok: true })["store"],
  procedure: Procedure,
): Promise<TaughtRuns> {
  try {
    // Runs that came before their text did are walked now, if they can be.
    await openIntake(store, openTrees(TREES)).countLate();
    return await taughtRuns(store, procedure);
  } finally {
    await store.close();
  }
}

function writeLearned(file: string, to: string, learned: Learned) {
  const read = readText(file);
  if (!read.ok || "finding" in read.value)
    return { error: { code: "not-readable", message: "This file can't be read any more.", file } };
  const source = loadProcedure(read.value.text, file, libraryBeside(file)).sources.get(file);
  if (source === undefined)
    return { error: { code: "not-readable", message: "This file can't be read any more.", file } };
  const made = learnedText(source, learned);
  try {
    // "wx": an author's file is never written over.
    writeFileSync(to, made.text, { flag: "wx" });
  } catch (thrown) {
    const exists = thrown instanceof Error && "code" in thrown && thrown.code === "EEXIST";
    return {
      error: exists
        ? { code: "exists", message: "This file is there already; nothing was written over.", file: to }
        : { code: "not-writable", message: "This file can't be written here.", file: to },
    };
  }
  return made;
}

/** 0, or 1 with a word where the proofs now find errors: less sure evidence may not carry a conclusion any more. */
function proved(text: string, file: string, to: string, output: Output): number {
  // It is to stand in the old file's place: its name and what it calls are looked for there.
  const { findings } = checkText(text, file);
  const [first, ...more] = findings.filter(({ severity }) => severity === "error");
  if (first === undefined) return 0;
  output.warn(`${to}:${first.line}:${first.column}: with these numbers: ${first.message}`);
  if (more.length > 0) output.warn(`${more.length} more like it: check it in the old file's place.`);
  return 1;
}

function asValue({ procedure, options, taught, learned }: Told, written: LearnedText | undefined) {
  const plain = <Part extends LearnedNumber>({ node: _, ...rest }: Part) => rest;
  return {
    procedure: procedure.id,
    revision: procedure.revision,
    strength: options.strength,
    runs: taught.runs,
    taught: learned.lessons,
    leftOut: {
      ...taught.leftOut,
      otherFaults: Object.fromEntries(learned.otherFaults),
      notOfPriors: learned.notOfPriors,
      otherAnswers: Object.fromEntries(taught.otherAnswers),
    },
    priors: learned.priors.map(plain),
    evidence: learned.shares.map(plain),
    written: written === undefined ? null : options.write,
    // Numbers that have to be changed by hand: they stand in another file, or behind a name that others use.
    left: written?.left.map(({ node }) => ({ file: node.file, path: node.path })) ?? [],
  };
}

interface Told {
  readonly procedure: Procedure;
  readonly options: LearnOptions;
  readonly taught: TaughtRuns;
  readonly learned: Learned;
}

function print(
  { procedure, options, taught, learned }: Told,
  written: LearnedText | undefined,
  output: Output,
) {
  output.line(
    `${procedure.id}: ${taught.runs} ${taught.runs === 1 ? "run" : "runs"}, ${learned.lessons} of them repaired and verified for a fault of this text. The written numbers count as ${options.strength} runs.`,
  );
  for (const text of leftOutTexts(procedure, taught, learned)) output.line(`  ${text}`);
  if (learned.priors.length + learned.shares.length === 0) {
    const instead = options.write === undefined ? "" : `, and ${options.write} was not written`;
    output.line(`  Nothing to learn from yet: no number is changed${instead}.`);
    return;
  }
  const rows = [
    ...learned.priors.map((one) => ({ name: faultTitle(procedure, one.fault), one })),
    ...learned.shares.map((one) => ({ name: shareName(procedure, one), one })),
  ];
  const width = Math.max(...rows.map(({ name }) => name.length));
  output.line(`  ${"number".padEnd(width)}  written  learned  95 %               runs`);
  for (const { name, one } of rows) {
    const { low, high } = one.interval;
    const interval = `${figure(low).trim()} to ${figure(high).trim()}`.padEnd(17);
    const numbers = `${figure(one.written)}  ${figure(one.learned)}  ${interval}`;
    output.line(`  ${name.padEnd(width)}  ${numbers}  ${one.count} of ${one.of}`);
  }
  if (written === undefined) {
    output.line("  Nothing was changed. --write FILE writes a text with the learned numbers.");
    return;
  }
  output.line(
    `  ${written.changed.length} numbers changed in ${options.write}. Read it and prove it before it goes out.`,
  );
  for (const { node } of written.left) output.line(`  By hand: ${node.path.join(" / ")} in ${node.file}.`);
}

/** What the runs could have taught and did not, a sentence each. */
function leftOutTexts(procedure: Procedure, { leftOut, otherAnswers }: TaughtRuns, learned: Learned) {
  const several = leftOut["several-faults"];
  const broken = leftOut["record-broken"];
  const unknown = leftOut["text-not-known"];
  const unwalked = leftOut["not-walkable"];
  return [
    ...(several > 0 ? [`${several} concluded several faults together and say nothing of one.`] : []),
    ...(broken > 0 ? [`${broken} left out: their record is not as it was written.`] : []),
    ...(unknown > 0 ? [`${unknown} can't be walked again: their text is not kept here as it was.`] : []),
    ...(unwalked > 0 ? [`${unwalked} left out: their own text does not walk them.`] : []),
    ...[...learned.otherFaults].map(
      ([fault, count]) =>
        `${count} found “${fault}”, which this text does not have: nothing is learned of them.`,
    ),
    ...(learned.notOfPriors > 0
      ? [
          `${learned.notOfPriors} say nothing of how common faults are: what their text can conclude is not to be compared with what this one can.`,
        ]
      : []),
    ...[...otherAnswers].map(
      ([step, count]) =>
        `${count} answers of “${procedure.steps.get(step)?.title ?? step}” left out: it gives other outcomes now, asks the other way round, or judges its reading otherwise.`,
    ),
  ];
}

function faultTitle(procedure: Procedure, fault: string): string {
  return procedure.faults.get(fault)?.title ?? fault;
}

/** `Supply at the plug: Dead, if Lowering fuse blown`. */
function shareName(procedure: Procedure, { step: id, outcome, row }: Learned["shares"][number]): string {
  const step = procedure.steps.get(id);
  const fault = row === "otherwise" ? "any other fault" : faultTitle(procedure, row);
  return `${step?.title ?? id}: ${outcomeWords(step, outcome)}, if ${fault}`;
}

function figure(value: number): string {
  return (Math.abs(value) >= 100 ? value.toFixed(1) : value.toFixed(3)).padStart(7);
}
