/** How likely each outcome is under each fault, as written. */
import type { RawRow } from "../../schemas/generated/procedure.ts";
import type { Dimension } from "../quantity/units.ts";
import { defined } from "./defined.ts";
import { linkSpread } from "./link-quantity.ts";
import { entriesOf, type Linking, nodeOf, type Part, type Path } from "./linking.ts";
import type { Evidence, FaultId, Outcome } from "./model.ts";

/** The evidence of a step whose outcomes, without `cannot` and `borderline`, are `outcomes`. */
export function linkEvidence(
  linking: Linking,
  part: Part,
  raw: { readonly [fault: string]: RawRow } | undefined,
  outcomes: readonly Outcome[],
  dimension: Dimension | undefined,
  path: Path,
): Evidence | undefined {
  if (raw === undefined) return undefined;
  const rows = new Map<FaultId, ReadonlyMap<Outcome, number>>();
  const reads = new Map<FaultId, NonNullable<ReturnType<typeof linkSpread>>>();
  let otherwise: ReadonlyMap<Outcome, number> | undefined;
  for (const [name, row] of entriesOf(raw)) {
    const at = [...path, name];
    const shares = linkRow(linking, part, row, outcomes, at);
    if (name === "otherwise") {
      otherwise = shares;
      if (row.reads !== undefined)
        linking.report(part, "wrong-shape", [...at, "reads"], { reason: "reads-otherwise" });
      continue;
    }
    const fault = linking.resolve(part, "fault", name, at, true);
    if (fault === undefined) continue;
    if (shares.size > 0 || row.reads === undefined) rows.set(fault, shares);
    if (row.reads === undefined) continue;
    const spread = linkSpread(linking, part, row.reads, dimension, [...at, "reads"]);
    if (spread !== undefined) reads.set(fault, spread);
  }
  return { rows, reads, node: nodeOf(part, path), ...defined({ otherwise }) };
}

function linkRow(
  linking: Linking,
  part: Part,
  row: RawRow,
  outcomes: readonly Outcome[],
  path: Path,
): ReadonlyMap<Outcome, number> {
  const shares = new Map<Outcome, number>();
  for (const [outcome, share] of entriesOf(row)) {
    if (typeof share !== "number") continue;
    if (outcomes.includes(outcome)) shares.set(outcome, share);
    else linking.unknown(part, "outcome", outcome, outcomes, [...path, outcome], true);
  }
  return shares;
}
