import type { LimitWord, Specification } from "../procedure/model.ts";

/** Limits that an open specification could be told, so that a witness can go on; undefined where it is not open. */
export function sampleLimits({
  open,
}: Specification): Readonly<Partial<Record<LimitWord, string>>> | undefined {
  if (open === undefined) return undefined;
  const limits: Partial<Record<LimitWord, string>> = {};
  for (const word of open.limits) limits[word] = `${word === "from" || word === "over" ? 1 : 2} ${open.unit}`;
  return limits;
}
