/** Equipment sheets: what is known of one model of vehicle or machine, laid over a procedure. */
import type { RawEquipment } from "../../schemas/generated/equipment.ts";
import { defined } from "./defined.ts";
import { checkFileName } from "./file-name.ts";
import type { Finding } from "./finding.ts";
import { deepFreeze } from "./freeze.ts";
import { inUnitOf } from "./link-limits.ts";
import { withNeeds } from "./link-needs.ts";
import { linkGiven } from "./link-parts.ts";
import { linkInstrument, linkSpecification, withoutCircles } from "./link-specification.ts";
import { entriesOf, Linking, type Part, type RawGiven } from "./linking.ts";
import type {
  Fact,
  Hazard,
  Instrument,
  Limit,
  Limits,
  NodePath,
  Procedure,
  Specification,
  Step,
} from "./model.ts";
import { nearest } from "./nearest.ts";
import { parseText } from "./parse.ts";
import { checkSheetLimits } from "./sheet-limits.ts";
import type { Source } from "./source.ts";
import { localName, scopeOf, titleOf } from "./titles.ts";

export interface EquipmentSheet {
  readonly id: string;
  readonly title: string;
  /** As written; what they mean is known once they are laid over a procedure's facts. */
  readonly facts: ReadonlyMap<string, { readonly value: RawGiven; readonly node: NodePath }>;
  readonly specifications: ReadonlyMap<string, Specification>;
  readonly instruments: ReadonlyMap<string, Instrument>;
  readonly hazards: readonly Hazard[];
  readonly node: NodePath;
}

/** The sheet in a text, as much of it as could be read, with what was found wrong. */
export function loadEquipment(
  text: string,
  file: string,
): { readonly sheet?: EquipmentSheet; readonly findings: readonly Finding[]; readonly source: Source } {
  const { raw, findings, source } = parseText(text, file, "equipment");
  if (raw === undefined) return { findings, source };
  const linking = new Linking({ anyName: true });
  const sheet = linkSheet(linking, raw, file);
  const named = checkFileName(raw.equipment, "equipment", file);
  return { sheet, findings: [...findings, ...named, ...linking.findings], source };
}

function linkSheet(linking: Linking, raw: RawEquipment, file: string): EquipmentSheet {
  const { specifications = {}, instruments = {} } = raw;
  const part: Part = { raw: { specifications, instruments }, file, scope: "" };
  linking.declare(part);
  const linked = entriesOf(specifications).map(([name, each]) =>
    linkSpecification(linking, part, name, each, "equipment"),
  );
  const found = entriesOf(instruments).map(([name, each]) => linkInstrument(linking, part, name, each));
  return deepFreeze({
    id: raw.equipment ?? "",
    title: raw.title ?? titleOf(raw.equipment ?? ""),
    facts: new Map(
      entriesOf<RawGiven>(raw.facts).map(([name, value]) => [
        name,
        { value, node: { file, path: ["facts", name] } },
      ]),
    ),
    specifications: withoutCircles(linking, new Map(linked.map((each) => [each.id, each]))),
    instruments: new Map(found.map((each) => [each.id, each])),
    hazards: raw.hazards ?? [],
    node: { file, path: [] },
  });
}

/**
 * The procedure with the sheet laid over it, its called parts included: facts become given, specifications and
 * instruments of the same name are the sheet's, hazards join. Names the procedure does not use are of no account,
 * since one sheet serves many procedures.
 */
export function layEquipment(
  procedure: Procedure,
  sheet: EquipmentSheet,
): { readonly procedure: Procedure; readonly findings: readonly Finding[] } {
  const linking = new Linking({ anyName: true });
  const instruments = new Map(procedure.instruments);
  for (const id of instruments.keys()) {
    const own = sheet.instruments.get(localName(id));
    if (own !== undefined) instruments.set(id, { ...own, id });
  }
  const laid = {
    ...procedure,
    instruments,
    facts: layFacts(linking, procedure, sheet),
    specifications: laySpecifications(linking, procedure, sheet),
    hazards: [...new Set([...procedure.hazards, ...sheet.hazards])],
    sheet: { id: sheet.id, title: sheet.title },
  };
  const steps = new Map([...withNeeds(laid)].map(([id, step]) => [id, layStep(linking, laid, sheet, step)]));
  const findings = linking.findings.map((finding) => ({
    ...finding,
    params: { ...finding.params, equipment: sheet.id },
  }));
  return { procedure: deepFreeze({ ...laid, steps }), findings };
}

function layFacts(linking: Linking, procedure: Procedure, sheet: EquipmentSheet): ReadonlyMap<string, Fact> {
  const facts = new Map(procedure.facts);
  for (const [id, fact] of facts) {
    const told = sheet.facts.get(localName(id));
    // A call that says what a fact is in its place knows better than the sheet.
    if (told === undefined || fact.given !== undefined || fact.list) continue;
    const given = linkGiven(linking, told.node, told.value, fact.measure?.unit);
    if (given !== undefined) facts.set(id, { ...fact, given });
  }
  return facts;
}

function laySpecifications(
  linking: Linking,
  procedure: Procedure,
  sheet: EquipmentSheet,
): ReadonlyMap<string, Specification> {
  const specifications = new Map(procedure.specifications);
  for (const id of specifications.keys()) {
    const own = sheet.specifications.get(localName(id));
    if (own !== undefined) specifications.set(id, laidOver(linking, procedure, own, id));
  }
  return withoutCircles(linking, specifications);
}

/** The sheet's specification under a name of the procedure's, its own names looked up there. */
function laidOver(linking: Linking, procedure: Procedure, own: Specification, id: string): Specification {
  const scope = scopeOf(id);
  const { low, high, ...bare } = own;
  const lay = (end: Limits["low"]): Limits["low"] => {
    const limit = end && laidLimit(linking, procedure, own, end.limit, scope);
    return limit && end && { ...end, limit };
  };
  return { ...bare, id, ...defined({ low: lay(low), high: lay(high) }) };
}

function laidLimit(
  linking: Linking,
  procedure: Procedure,
  own: Specification,
  limit: Limit,
  scope: string,
): Limit | undefined {
  const known = (table: ReadonlyMap<string, unknown>, what: string, name: string): boolean => {
    if (table.has(scope + name)) return true;
    const params = { what, name, ...defined({ nearest: nearest(name, table.keys()) }) };
    linking.report(own.node, "unknown-name", own.node.path, params);
    return false;
  };
  switch (limit.kind) {
    case "fixed":
      return limit;
    case "cited": {
      const { specification } = limit;
      if (!known(procedure.specifications, "specification", specification)) return undefined;
      return { ...limit, specification: scope + specification };
    }
    case "table": {
      const { facts, readings } = limit.by;
      if (!facts.every((name) => known(procedure.facts, "fact", name))) return undefined;
      if (!readings.every((name) => known(procedure.steps, "reading", name))) return undefined;
      const under = (names: readonly string[]) => names.map((name) => scope + name);
      const by = { ...limit.by, scope, facts: under(facts), readings: under(readings) };
      const unit = unitGoneBy(procedure, by.facts, by.readings);
      const rows =
        unit === undefined
          ? limit.rows
          : limit.rows.map(([key, value]) => [inUnitOf(key, unit), value] as const);
      return { kind: "table", by, rows };
    }
  }
}

/** The unit of the one fact or reading that a table goes by. */
function unitGoneBy(
  procedure: Procedure,
  facts: readonly string[],
  readings: readonly string[],
): string | undefined {
  if (facts.length + readings.length !== 1) return undefined;
  const step = procedure.steps.get(readings[0] ?? "");
  if (step?.kind === "measure") return step.readingUnit;
  return procedure.facts.get(facts[0] ?? "")?.measure?.unit;
}

/** The step with the sheet's reference temperature. */
function layStep(linking: Linking, laid: Omit<Procedure, "steps">, sheet: EquipmentSheet, step: Step): Step {
  if (step.kind !== "measure") return step;
  checkSheetLimits(linking, laid.specifications, sheet.node.file, step);
  if (step.judged.by !== "specification") return step;
  const specification = laid.specifications.get(step.judged.specification);
  if (specification?.given !== "equipment") return step;
  const { correct } = step;
  if (correct?.temperature === undefined || specification.at === undefined) return step;
  return { ...step, correct: { ...correct, to: specification.at } };
}
