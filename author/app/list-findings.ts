/** From what the check found to the list that the page shows. */
import type { Finding, PlacedFinding, Severity } from "../../engine/procedure/finding.ts";
import type { Source } from "../../engine/procedure/source.ts";
import { placeFinding } from "../../engine/procedure/wording.ts";
import type { Mend } from "../edits/mend.ts";
import type { ListedFinding } from "./check-message.ts";

const WEIGHT: Readonly<Record<Severity, number>> = { error: 0, warning: 1, note: 2 };

/**
 * Returns the findings with their places and mends: errors first, what is wrong with words and names before
 * what follows from it for the ways through, then in the order of the text.
 */
export function listFindings(
  read: readonly Finding[],
  proven: readonly Finding[],
  sources: ReadonlyMap<string, Source>,
  file: string,
  mendOf: (finding: Finding, placed: PlacedFinding) => Mend | undefined,
): readonly ListedFinding[] {
  const shaky = read.some(({ severity }) => severity === "error");
  const placed = [read, proven].flatMap((found, stage) =>
    found.map((finding) => ({ finding, stage, placed: placeFinding(finding, sources) })),
  );
  placed.sort(
    (a, b) =>
      WEIGHT[a.finding.severity] - WEIGHT[b.finding.severity] ||
      a.stage - b.stage ||
      Number(a.finding.node.file !== file) - Number(b.finding.node.file !== file) ||
      a.placed.from - b.placed.from,
  );
  const seen = new Map<string, number>();
  return placed.map(({ finding, stage, placed: at }) => {
    const here = finding.node.file === file;
    const mend = here ? mendOf(finding, at) : undefined;
    const name = `${finding.code} ${finding.node.file} ${JSON.stringify(finding.node.path)}`;
    const times = (seen.get(name) ?? 0) + 1;
    seen.set(name, times);
    return {
      key: `${name} ${times}`,
      finding,
      placed: at,
      here,
      follows: shaky && stage === 1,
      ...(mend ? { mend } : {}),
    };
  });
}
