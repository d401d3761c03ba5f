/** From what the check found to the list that the page shows. */
import type { Finding, PlacedFinding, Severity } from "../../engine/procedure/finding.ts";
import type { Source } from "../../engine/procedure/source.ts";
import { placeFinding } from "../../engine/procedure/wording.ts";
import type { Mend } from "../edits/mend.ts";
import type { ListedFinding } from "./check-message.ts";

const WEIGHT: Readonly<Record<Severity, number>> = { error: 0, warning: 1, note: 2 };

/** Returns the findings with their places and mends: errors first, then in the order of the text. */
export function listFindings(
  findings: readonly Finding[],
  sources: ReadonlyMap<string, Source>,
  file: string,
  mendOf: (finding: Finding, placed: PlacedFinding) => Mend | undefined,
): readonly ListedFinding[] {
  const placed = findings.map((finding) => ({ finding, placed: placeFinding(finding, sources) }));
  placed.sort(
    (a, b) =>
      WEIGHT[a.finding.severity] - WEIGHT[b.finding.severity] ||
      Number(a.finding.node.file !== file) - Number(b.finding.node.file !== file) ||
      a.placed.from - b.placed.from,
  );
  const seen = new Map<string, number>();
  return placed.map(({ finding, placed: at }) => {
    const here = finding.node.file === file;
    const mend = here ? mendOf(finding, at) : undefined;
    const name = `${finding.code} ${finding.node.file} ${JSON.stringify(finding.node.path)}`;
    const times = (seen.get(name) ?? 0) + 1;
    seen.set(name, times);
    return { key: `${name} ${times}`, finding, placed: at, here, ...(mend ? { mend } : {}) };
  });
}
