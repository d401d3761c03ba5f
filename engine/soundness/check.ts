import type { Finding } from "../procedure/finding.ts";
import type { Procedure } from "../procedure/model.ts";
import { checkAfter } from "./after-order.ts";
import { type Analysis, analyse } from "./analysis.ts";
import { checkCanFail } from "./can-fail.ts";
import { checkCautions } from "./cautions.ts";
import { checkCoarse } from "./coarse.ts";
import { checkConclusions } from "./conclusions.ts";
import { checkCover } from "./cover.ts";
import { checkCertainEvidence, checkEvidenceSums, checkMissingEvidence } from "./evidence.ts";
import { checkFaultsFound } from "./faults-found.ts";
import { checkArms } from "./impossible.ts";
import { checkLoops } from "./loops.ts";
import { checkDeadEnds, checkUnreachable } from "./reach.ts";
import { checkReadings } from "./readings.ts";
import { checkReferred } from "./referred.ts";
import { checkSetUpConflicts } from "./set-up-conflict.ts";
import { checkMadeAgain } from "./set-up-made-again.ts";
import { checkToldApart } from "./told-apart.ts";
import { checkVerification } from "./verification.ts";

const RULES: readonly ((analysis: Analysis) => readonly Finding[])[] = [
  checkUnreachable,
  checkDeadEnds,
  checkLoops,
  checkArms,
  checkCanFail,
  checkCover,
  checkReadings,
  checkCoarse,
  checkVerification,
  checkFaultsFound,
  checkConclusions,
  checkToldApart,
  checkEvidenceSums,
  checkMissingEvidence,
  checkCertainEvidence,
  checkCautions,
  checkReferred,
  checkSetUpConflicts,
  checkMadeAgain,
  checkAfter,
];

/**
 * What is wrong with a procedure, rule by rule, each thing once. `withSheets` are the same procedure linked with
 * each of its equipment sheets: what only shows with a sheet carries the parameter `equipment`. Each rule says
 * in its own words what it decides exactly.
 */
export function checkProcedure(
  procedure: Procedure,
  withSheets: readonly Procedure[] = [],
): readonly Finding[] {
  const seen = new Set<string>();
  const findings: Finding[] = [];
  for (const version of [procedure, ...withSheets]) {
    const analysis = analyse(version);
    for (const rule of RULES)
      for (const finding of rule(analysis)) {
        const key = JSON.stringify([finding.code, finding.node, finding.params]);
        if (seen.has(key)) continue;
        seen.add(key);
        findings.push(
          version === procedure || version.sheet === undefined
            ? finding
            : { ...finding, params: { ...finding.params, equipment: version.sheet.id } },
        );
      }
  }
  return findings;
}
