/** Errors of the proofs in the words of the brute-force walker, and which of them mean the same. */
import type { FindingCode } from "../../../engine/procedure/finding.ts";
import type { Procedure } from "../../../engine/procedure/model.ts";
import { checkProcedure } from "../../../engine/soundness/check.ts";

/** Codes that both look for. */
export const CODES: readonly FindingCode[] = [
  "reading-gap",
  "reading-overlap",
  "impossible-branch",
  "unreachable-step",
  "endless-loop",
  "dead-end",
  "unsupported-conclusion",
  "no-verification",
  "fault-never-found",
];

export function told(procedure: Procedure): ReadonlySet<string> {
  return new Set(
    checkProcedure(procedure).flatMap(({ code, severity, step, params }) => {
      if (severity !== "error" || !CODES.includes(code)) return [];
      return code === "endless-loop" ? code : `${code} ${step ?? params.fault}`;
    }),
  );
}

export function isTold(found: ReadonlySet<string>, defect: string): boolean {
  const [code = "", step = ""] = defect.split(" ");
  if (found.has(defect)) return true;
  // Bands that are inside out are told alone: what gap or overlap they make is left until they are mended.
  if (code.startsWith("reading-")) return found.has(`impossible-branch ${step}`);
  // Told once for all the steps behind which there is no end, where the way stops.
  return code === "no-end" && [...found].some((each) => each.startsWith("dead-end "));
}

export function isProven(proven: readonly string[], each: string): boolean {
  return proven.includes(each) || proven.includes(each.replace("dead-end", "no-end"));
}
