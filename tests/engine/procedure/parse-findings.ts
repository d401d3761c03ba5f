import type { PlacedFinding } from "../../../engine/procedure/finding.ts";
import { parseText, type RawByKind } from "../../../engine/procedure/parse.ts";
import { placeFinding } from "../../../engine/procedure/wording.ts";

/** The findings of a text, placed and worded as a person sees them. */
export function findingsOf(text: string, kind: keyof RawByKind = "procedure"): readonly PlacedFinding[] {
  const { source, findings } = parseText(text, "a.yaml", kind);
  return findings.map((finding) => placeFinding(finding, new Map([["a.yaml", source]])));
}

/** What a finding underlines. */
export function underlined(text: string, { from, to }: PlacedFinding): string {
  return text.slice(from, to);
}

/** A small sound text with the given lines among its steps. */
export function withSteps(lines: string, top = ""): string {
  return `procedure: a
title: A
revision: 1
complaint: It does not run.
${top}start: hot
steps:
${lines}`;
}

export const STEP = "  hot: { end: fixed }\n";
