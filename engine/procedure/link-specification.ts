/** Specifications and instruments, of a procedure or an equipment sheet. */

import type { RawAccuracy, RawInstrument, RawSpecification } from "../../schemas/generated/procedure.ts";
import type { AccuracyRange } from "../quantity/accuracy.ts";
import { MEASURE_KINDS, type MeasureKind } from "../quantity/kind.ts";
import { type Dimension, dimensionOf } from "../quantity/units.ts";
import { defined } from "./defined.ts";
import { linkLimits, specificationDimension } from "./link-limits.ts";
import { linkNumber, linkQuantity, linkUnit, linkWithin } from "./link-quantity.ts";
import { type Linking, nodeOf, type Part, type Path } from "./linking.ts";
import type { Instrument, Limits, Specification } from "./model.ts";
import { titleOf } from "./titles.ts";

/** The specification; all its limits must measure what the first of them does. */
export function linkSpecification(
  linking: Linking,
  part: Part,
  name: string,
  raw: RawSpecification,
  given: Specification["given"] = "procedure",
): Specification {
  const path: Path = ["specifications", name];
  const id = part.scope + name;
  const reference =
    raw.at === undefined ? {} : linkWithin(linking, part, raw.at, "temperature", [...path, "at"]);
  const place = { path, dimension: specificationDimension(linking, id), thisReading: false };
  return {
    id,
    title: raw.title ?? titleOf(name),
    given,
    node: nodeOf(part, path),
    ...linkLimits(linking, part, raw, place),
    ...defined({ at: reference.quantity, atWithin: reference.within }),
    ...defined({ source: raw.source, open: openLimits(linking, part, raw, path) }),
  };
}

function openLimits(linking: Linking, part: Part, raw: RawSpecification, path: Path): Specification["open"] {
  if (raw.ask !== true || raw.unit === undefined) return undefined;
  const unit = linkUnit(linking, part, raw.unit, undefined, [...path, "unit"]);
  return unit === undefined ? undefined : { unit, limits: raw.limits ?? [] };
}

/** The specifications with no limit that leads back to itself through what it cites; such is `wrong-shape`. */
export function withoutCircles(
  linking: Linking,
  specifications: ReadonlyMap<string, Specification>,
): Map<string, Specification> {
  const sound = new Map(specifications);
  const state = new Map<string, "open" | "done">();
  const visit = (id: string): boolean => {
    if (state.get(id) === "open") return false;
    const specification = sound.get(id);
    if (specification === undefined || state.get(id) === "done") return true;
    state.set(id, "open");
    for (const cited of citedBy(specification)) {
      if (visit(cited)) continue;
      const { file, path } = specification.node;
      linking.report({ file }, "wrong-shape", path, {
        reason: "specification-circle",
        name: id,
        other: cited,
      });
      const { low: _low, high: _high, ...bare } = specification;
      sound.set(id, bare);
    }
    state.set(id, "done");
    return true;
  };
  for (const id of specifications.keys()) visit(id);
  return sound;
}

/** Ids of the specifications whose limits are cited. */
export function citedBy(limits: Limits): readonly string[] {
  return [limits.low?.limit, limits.high?.limit].flatMap((limit) =>
    limit?.kind === "cited" ? [limit.specification] : [],
  );
}

export function linkInstrument(linking: Linking, part: Part, name: string, raw: RawInstrument): Instrument {
  const path: Path = ["instruments", name];
  const accuracy = new Map<MeasureKind, readonly AccuracyRange[]>();
  for (const kind of MEASURE_KINDS) {
    const written = raw.accuracy?.[kind];
    if (written === undefined) continue;
    const at = [...path, "accuracy", kind];
    const ranges = Array.isArray(written)
      ? written.map((range, index) => linkRange(linking, part, range, kind, [...at, index]))
      : [linkRange(linking, part, written, kind, at)];
    accuracy.set(kind, ranges);
  }
  return { id: part.scope + name, title: raw.title ?? titleOf(name), accuracy, node: nodeOf(part, path) };
}

function linkRange(
  linking: Linking,
  part: Part,
  raw: RawAccuracy,
  kind: MeasureKind,
  path: Path,
): AccuracyRange {
  const quantity = (key: "up-to" | "resolution", dimension: Dimension) => {
    const text = raw[key];
    return text === undefined ? undefined : linkQuantity(linking, part, text, dimension, [...path, key]);
  };
  const share = (key: "reading" | "full-scale") =>
    linkNumber(linking, part, raw[key], "1", [...path, key]) ?? 0;
  if (raw["full-scale"] !== undefined && raw["up-to"] === undefined)
    linking.report(
      part,
      "wrong-shape",
      [...path, "full-scale"],
      { reason: "no-full-scale" },
      { atKey: true },
    );
  const leads =
    raw.leads === undefined ? {} : linkWithin(linking, part, raw.leads, "resistance", [...path, "leads"]);
  return {
    reading: share("reading"),
    fullScale: share("full-scale"),
    counts: raw.counts ?? 0,
    ...defined({
      upTo: quantity("up-to", dimensionOf(kind)),
      resolution: quantity("resolution", dimensionOf(kind)),
      leads: leads.quantity,
      leadsWithin: leads.within,
    }),
  };
}
