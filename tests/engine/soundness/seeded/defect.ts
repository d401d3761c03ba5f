/** One defect put into a sound procedure: the code that `check` has to give for it, and where. */
import { expect } from "vitest";
import type { FindingCode } from "../../../../engine/procedure/finding.ts";
import type { SoundCase } from "./parts.ts";

/** A piece of text that stands there once, and what stands there instead. */
type Edit = readonly [old: string, now: string];

export interface Defect {
  readonly code: FindingCode;
  /** The sound procedure it is put into. */
  readonly into: string;
  readonly what: string;
  /** What the finding's range begins with. */
  readonly at: string;
  readonly edits: readonly Edit[];
  /** Codes of severity error or warning that the same slip can't but give as well. */
  readonly also: readonly FindingCode[];
}

export function defect(
  code: FindingCode,
  into: string,
  what: string,
  at: string,
  edits: readonly Edit[],
  also: readonly FindingCode[] = [],
): Defect {
  return { code, into, what, at, edits, also };
}

/** The procedure with the defect in it. Each edit is made in the one text that holds its old piece, once. */
export function spoiled({ edits, into }: Defect, cases: readonly SoundCase[]): SoundCase {
  const found = cases.find(({ id }) => id === into);
  expect(found?.id).toBe(into);
  if (found === undefined) throw new Error(into);
  return edits.reduce(edited, found);
}

function edited(one: SoundCase, [old, now]: Edit): SoundCase {
  const texts = [one.text, ...Object.values(one.called ?? {}), ...Object.values(one.sheets ?? {})];
  expect([old, texts.reduce((count, text) => count + text.split(old).length - 1, 0)]).toEqual([old, 1]);
  const change = (text: string) => text.replace(old, () => now);
  const changeAll = (all: Readonly<Record<string, string>>) =>
    Object.fromEntries(Object.entries(all).map(([id, text]) => [id, change(text)]));
  return {
    ...one,
    text: change(one.text),
    called: changeAll(one.called ?? {}),
    sheets: changeAll(one.sheets ?? {}),
  };
}
