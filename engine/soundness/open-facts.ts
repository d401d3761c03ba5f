import type { Procedure } from "../procedure/model.ts";

/**
 * Facts with those that calls give left open; the very same where none is given. Opened once for good: what is known
 * of an earlier text is kept by what stands beside its steps, so that other facts each time would be kept each time.
 */
export function openFacts(facts: Procedure["facts"]): Procedure["facts"] {
  const known = OPEN.get(facts);
  if (known !== undefined) return known;
  const given = [...facts].filter(([, fact]) => fact.given !== undefined);
  const open = given.map(([id, { given: _, ...fact }]) => [id, fact] as const);
  const opened = given.length === 0 ? facts : new Map([...facts, ...open]);
  OPEN.set(facts, opened);
  return opened;
}

const OPEN = new WeakMap<Procedure["facts"], Procedure["facts"]>();
