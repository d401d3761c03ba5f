import type { Finding } from "../procedure/finding.ts";
import { type Beside, besideOf, type Changes, changesOf } from "../procedure/keep-unchanged.ts";
import type { Procedure } from "../procedure/model.ts";
import type { Analysis } from "./analysis.ts";

export interface Rule {
  readonly find: (analysis: Analysis) => readonly Finding[];
  /** What of the steps it looks at beside the ways that runs can go: words, times and set-ups, or evidence. */
  readonly reads: "ways" | "words" | "evidence";
}

/**
 * What the rules find, in their order. A rule is not asked again where the procedure last asked about differs from
 * this one in nothing that it reads: after an edit of one step's words, or of its evidence, most rules are not.
 */
export function findingsOf(rules: readonly Rule[], analysis: Analysis): readonly Finding[] {
  const { procedure } = analysis;
  const beside = besideOf(procedure);
  const last = LAST.get(beside);
  const changes = last && changesOf(last.procedure, procedure);
  const found = rules.map((rule): Found => {
    const before = last?.found.find((each) => each.rule === rule);
    return before !== undefined && changes !== undefined && holds(before, changes)
      ? before
      : { rule, findings: rule.find(analysis) };
  });
  LAST.set(beside, { procedure, found });
  return found.flatMap(({ findings }) => findings);
}

interface Found {
  readonly rule: Rule;
  readonly findings: readonly Finding[];
}

/** The last procedure asked about, by what stands beside its steps. */
const LAST = new WeakMap<Beside, { readonly procedure: Procedure; readonly found: readonly Found[] }>();

/** A witness is a run with its set-ups, cautions and minutes: it hangs on words whatever its rule reads. */
function holds({ rule, findings }: Found, changes: Changes): boolean {
  if (changes.words && (rule.reads === "words" || findings.some(({ witness }) => witness !== undefined)))
    return false;
  return !(changes.evidence && rule.reads === "evidence");
}
