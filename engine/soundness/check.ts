import type { Finding, FindingCode } from "../procedure/finding.ts";
import { type Beside, besideOf, keepUnchanged } from "../procedure/keep-unchanged.ts";
import type { Procedure } from "../procedure/model.ts";
import { checkAfter } from "./after-order.ts";
import { analyse } from "./analysis.ts";
import { checkCanFail } from "./can-fail.ts";
import { checkCautions } from "./cautions.ts";
import { checkCoarse } from "./coarse.ts";
import { checkConclusions } from "./conclusions.ts";
import { checkCover } from "./cover.ts";
import { checkCertainEvidence, checkEvidenceSums, checkMissingEvidence } from "./evidence.ts";
import { checkFaultsFound } from "./faults-found.ts";
import { findingsOf, type Rule } from "./found-again.ts";
import { checkArms } from "./impossible.ts";
import { checkLoops } from "./loops.ts";
import { checkNothingToUndo } from "./nothing-to-undo.ts";
import { openFacts } from "./open-facts.ts";
import { checkDeadEnds, checkUnreachable } from "./reach.ts";
import { checkReadings } from "./readings.ts";
import { checkReferred } from "./referred.ts";
import { checkSetUpConflicts } from "./set-up-conflict.ts";
import { checkMadeAgain } from "./set-up-made-again.ts";
import { checkToldApart } from "./told-apart.ts";
import { checkVerification } from "./verification.ts";
import { checkVerificationHolds } from "./verification-holds.ts";

/** Every rule, with what it looks at beside the ways that runs can go. */
const RULES: readonly Rule[] = [
  { find: checkUnreachable, reads: "ways" },
  { find: checkDeadEnds, reads: "ways" },
  { find: checkLoops, reads: "ways" },
  { find: checkArms, reads: "ways" },
  { find: checkCanFail, reads: "words" },
  { find: checkCover, reads: "ways" },
  { find: checkReadings, reads: "words" },
  { find: checkCoarse, reads: "ways" },
  { find: checkVerification, reads: "ways" },
  { find: checkVerificationHolds, reads: "ways" },
  { find: checkFaultsFound, reads: "ways" },
  { find: checkConclusions, reads: "evidence" },
  { find: checkToldApart, reads: "evidence" },
  { find: checkEvidenceSums, reads: "evidence" },
  { find: checkMissingEvidence, reads: "evidence" },
  { find: checkCertainEvidence, reads: "evidence" },
  { find: checkCautions, reads: "words" },
  { find: checkReferred, reads: "words" },
  { find: checkSetUpConflicts, reads: "words" },
  { find: checkMadeAgain, reads: "words" },
  { find: checkNothingToUndo, reads: "words" },
  { find: checkAfter, reads: "ways" },
];

/** What is only wrong where no version shows otherwise: another sheet or call may have another value of a fact. */
const ANYWHERE: ReadonlySet<FindingCode> = new Set([
  "unreachable-step",
  "fault-never-found",
  "faults-not-told-apart",
]);

/**
 * What is wrong with a procedure, rule by rule, each thing once. `withSheets` are the same procedure linked with
 * each of its equipment sheets: what only shows with a sheet carries the parameter `equipment`. That nothing comes
 * to a step, finds a fault or tells faults apart is only said where that is so with every sheet and without, and
 * with any value of the facts that a call gives. Each rule says in its own words what it decides exactly.
 */
export function checkProcedure(
  procedure: Procedure,
  withSheets: readonly Procedure[] = [],
): readonly Finding[] {
  const laid = withSheets.map((sheet) => keptWithSheet(procedure, sheet));
  const versions = [procedure, ...laid].map((version) => {
    const analysis = analyse(version);
    return { version, findings: findingsOf(RULES, analysis) };
  });
  const told = new Map<string, Finding>();
  for (const { version, findings } of versions)
    for (const finding of findings) {
      const key = keyOf(finding);
      if (told.has(key)) continue;
      told.set(
        key,
        version === procedure || version.sheet === undefined
          ? finding
          : { ...finding, params: { ...finding.params, equipment: version.sheet.id } },
      );
    }
  const lacking = [...told].filter(([, finding]) => isLack(finding));
  if (lacking.length === 0) return [...told.values()];
  const released = withoutGiven(procedure);
  const others = versions.map(({ findings }) => lacksOf(findings));
  if (released !== undefined) {
    const analysis = analyse(released);
    const found = [checkUnreachable, checkFaultsFound, checkToldApart].flatMap((rule) => rule(analysis));
    others.push(lacksOf(found));
  }
  for (const [key, finding] of lacking)
    if (!others.every((lacks) => isAmong(lacks, key, finding))) told.delete(key);
  return [...told.values()];
}

/** What an edit of the text has not changed of it with a sheet either: each sheet is laid over the whole anew. */
function keptWithSheet(procedure: Procedure, laid: Procedure): Procedure {
  const beside = besideOf(procedure);
  const known = LAID.get(beside) ?? new Map<string, Procedure>();
  const sheet = laid.sheet?.id ?? "";
  const last = known.get(sheet);
  const kept = last === undefined ? laid : keepUnchanged(last, laid);
  LAID.set(beside, known.set(sheet, kept));
  return kept;
}

/** The last text with each sheet, by what stands beside the steps without one. */
const LAID = new WeakMap<Beside, Map<string, Procedure>>();

/** What one version lacks, to be found by its key: thousands of steps can be unreachable. */
interface Lacks {
  readonly keys: ReadonlySet<string>;
  /** The faults that it does not tell apart: each is in one group at most, given by its number. */
  readonly groupOf: ReadonlyMap<string, number>;
}

function lacksOf(findings: readonly Finding[]): Lacks {
  const keys = new Set<string>();
  const groupOf = new Map<string, number>();
  for (const [number, finding] of findings.entries()) {
    if (!isLack(finding)) continue;
    if (finding.code !== "faults-not-told-apart") keys.add(keyOf(finding));
    else for (const fault of faultsOf(finding)) groupOf.set(fault, number);
  }
  return { keys, groupOf };
}

/** Whether another version lacks the same; faults of one group may there be in a larger one. */
function isAmong({ keys, groupOf }: Lacks, key: string, finding: Finding): boolean {
  if (finding.code !== "faults-not-told-apart") return keys.has(key);
  const groups = new Set(faultsOf(finding).map((fault) => groupOf.get(fault)));
  return groups.size === 1 && !groups.has(undefined);
}

function faultsOf({ params }: Finding): readonly string[] {
  return String(params.faults).split(", ");
}

function keyOf({ code, node, params }: Finding): string {
  return JSON.stringify([code, node, params]);
}

/** Whether it says that something is nowhere; not that it was too much to look at. */
function isLack({ code, params }: Finding): boolean {
  return ANYWHERE.has(code) && params.why === undefined;
}

/** The procedure with the facts that calls give left open; undefined where they give none. */
function withoutGiven(procedure: Procedure): Procedure | undefined {
  const facts = openFacts(procedure.facts);
  return facts === procedure.facts ? undefined : { ...procedure, facts };
}
