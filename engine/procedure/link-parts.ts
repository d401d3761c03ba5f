/** Cautions, set-ups, facts, faults and repairs. */
import type {
  RawAct,
  RawCaution,
  RawFact,
  RawFault,
  RawPicture,
  RawRepair,
  RawSetUp,
} from "../../schemas/generated/procedure.ts";
import { parseQuantity } from "../quantity/parse-quantity.ts";
import { convert, dimensionOf } from "../quantity/units.ts";
import { defined } from "./defined.ts";
import { linkText } from "./link-expression.ts";
import { linkTorque, linkUnit } from "./link-quantity.ts";
import { entriesOf, type Linking, nodeOf, type Part, type Path, type RawGiven } from "./linking.ts";
import type { Act, Caution, Fact, FactValue, Fault, Findable, Repair, SetUp } from "./model.ts";
import { titleOf } from "./titles.ts";

/** Where to find a thing, and its picture. */
export function linkFindable(
  linking: Linking,
  part: Part,
  raw: { readonly where?: string; readonly picture?: RawPicture },
  path: Path,
): Findable {
  const where = raw.where === undefined ? undefined : linkText(linking, part, raw.where, [...path, "where"]);
  const { file, alt } = raw.picture ?? {};
  const picture = file === undefined || alt === undefined ? undefined : { file, alt };
  return defined({ where, picture });
}

export function linkCaution(linking: Linking, part: Part, name: string, raw: RawCaution): Caution {
  const path: Path = ["cautions", name];
  const text = (key: "hazard" | "consequence" | "avoid" | "acknowledge") => {
    const written = raw[key];
    return written === undefined ? undefined : linkText(linking, part, written, [...path, key]);
  };
  return {
    id: part.scope + name,
    signal: raw.signal ?? "warning",
    hazard: text("hazard") ?? titleOf(name),
    avoid: text("avoid") ?? "",
    covers: raw.covers ?? [],
    node: nodeOf(part, path),
    ...defined({ consequence: text("consequence"), acknowledge: text("acknowledge") }),
  };
}

/** The set-up, undefined where it is the caller's own. No `put-back` key at all is `set-up-not-put-back`. */
export function linkSetUp(linking: Linking, part: Part, name: string, raw: RawSetUp): SetUp | undefined {
  if (part.call?.setUps.has(name)) return undefined;
  const path: Path = ["set-ups", name];
  if (raw["put-back"] === undefined)
    linking.report(part, "set-up-not-put-back", path, { setUp: name }, { atKey: true });
  checkConflict(linking, part, raw, path);
  return {
    id: part.scope + name,
    title: raw.title ?? titleOf(name),
    do: linkText(linking, part, raw.do ?? titleOf(name), [...path, "do"]),
    minutes: raw.minutes ?? 0,
    needs: linking.resolveAll(part, "set-up", raw.needs, [...path, "needs"]),
    without: linking.resolveAll(part, "set-up", raw.without, [...path, "without"]),
    cautions: linking.resolveAll(part, "caution", raw.cautions, [...path, "cautions"]),
    hazards: raw.hazards ?? [],
    tools: raw.tools ?? [],
    node: nodeOf(part, path),
    ...linkFindable(linking, part, raw, path),
    ...defined({
      torque: linkTorque(linking, part, raw.torque, [...path, "torque"]),
      putBack: linkPutBack(linking, part, raw["put-back"], [...path, "put-back"]),
    }),
  };
}

/** Parts of a put-back that have no place in a run yet. */
const PUT_BACK_LATER = ["where", "picture"] as const;

function linkPutBack(linking: Linking, part: Part, raw: RawSetUp["put-back"], path: Path): SetUp["putBack"] {
  if (raw === undefined || typeof raw === "string") return undefined;
  for (const key of PUT_BACK_LATER) if (raw[key] !== undefined) notActedOn(linking, part, [...path, key]);
  return {
    do: linkText(linking, part, raw.do ?? "", [...path, "do"]),
    minutes: raw.minutes ?? 0,
    cautions: linking.resolveAll(part, "caution", raw.cautions, [...path, "cautions"]),
    ...defined({
      torque: linkTorque(linking, part, raw.torque, [...path, "torque"]),
      hazards: raw.hazards,
      tools: raw.tools,
    }),
  };
}

/** Says that a part of the format is read but changes nothing yet. */
export function notActedOn(linking: Linking, part: Pick<Part, "file">, path: Path): void {
  const name = String(path.at(-1) ?? "");
  linking.report(part, "not-acted-on", path, { name }, { severity: "warning", atKey: true });
}

/** A set-up that is needed and forbidden at once, by the same name. */
export function checkConflict(
  linking: Linking,
  part: Part,
  raw: { readonly needs?: readonly string[]; readonly without?: readonly string[] },
  path: Path,
): void {
  for (const [index, name] of (raw.without ?? []).entries()) {
    if (raw.needs?.includes(name))
      linking.report(part, "set-up-conflict", [...path, "without", index], { setUp: name });
  }
}

/** The set-ups without a need that leads back to itself; such a circle is a `set-up-conflict`. */
export function withoutNeedCircles(linking: Linking, setUps: ReadonlyMap<string, SetUp>): Map<string, SetUp> {
  const sound = new Map(setUps);
  const state = new Map<string, "open" | "done">();
  const visit = (id: string): boolean => {
    if (state.get(id) === "open") return false;
    const setUp = sound.get(id);
    if (setUp === undefined || state.get(id) === "done") return true;
    state.set(id, "open");
    const needs = setUp.needs.filter(visit);
    if (needs.length < setUp.needs.length) {
      const { file, path } = setUp.node;
      linking.report({ file }, "set-up-conflict", [...path, "needs"], { setUp: id, reason: "circle" });
      sound.set(id, { ...setUp, needs });
    }
    state.set(id, "done");
    return true;
  };
  for (const id of setUps.keys()) visit(id);
  return sound;
}

/** The trouble codes, which every run has. */
export function codesFact(file: string): Fact {
  return {
    id: "codes",
    title: "Trouble codes",
    ask: "Which trouble codes are stored?",
    choices: [],
    list: true,
    node: { file, path: [] },
  };
}

export function linkFact(linking: Linking, part: Part, name: string, raw: RawFact): Fact {
  const path: Path = ["facts", name];
  if (name === "codes") reserved(linking, part, path, name);
  const title = raw.title ?? titleOf(name);
  const ask = raw.ask ?? raw.say ?? title;
  for (const key of ["where", "picture"] as const)
    if (raw[key] !== undefined) notActedOn(linking, part, [...path, key]);
  const id = part.scope + name;
  return {
    id,
    title,
    ask: linkText(linking, part, ask, [...path, raw.ask === undefined ? "say" : "ask"]),
    choices: linkChoices(linking, part, raw, path),
    list: false,
    node: nodeOf(part, path),
    ...defined({
      measure: linkMeasuredFact(linking, part, raw, path),
      given: givenTo(linking, part, name, raw),
    }),
  };
}

function linkChoices(linking: Linking, part: Part, raw: RawFact, path: Path): Fact["choices"] {
  const written = raw.choices ?? [];
  const choices = Array.isArray(written)
    ? written.map((id) => ({ id, label: titleOf(id) }))
    : entriesOf(written).map(([id, label]) => ({ id, label }));
  if (choices.some(({ id }) => id === "unknown")) reserved(linking, part, [...path, "choices"], "unknown");
  return choices.filter(({ id }) => id !== "unknown");
}

/** Reports a name that the format gives a meaning of its own. */
export function reserved(linking: Linking, part: Part, path: Path, name: string): void {
  linking.report(part, "wrong-shape", path, { reason: "reserved-name", name }, { atKey: true });
}

function linkMeasuredFact(linking: Linking, part: Part, raw: RawFact, path: Path): Fact["measure"] {
  if (raw.measure === undefined || raw.unit === undefined) return undefined;
  const unit = linkUnit(linking, part, raw.unit, dimensionOf(raw.measure), [...path, "unit"]);
  const instrument =
    raw.with === undefined ? undefined : linking.resolve(part, "instrument", raw.with, [...path, "with"]);
  return unit === undefined ? undefined : { quantity: raw.measure, unit, ...defined({ instrument }) };
}

/** What the call that this part stands behind says of a fact. */
function givenTo(linking: Linking, part: Part, name: string, raw: RawFact): FactValue | undefined {
  const given = part.call?.given.get(name);
  if (given === undefined) return undefined;
  return linkGiven(linking, given.node, given.value, raw.measure === undefined ? undefined : raw.unit);
}

/**
 * The value of a fact that a call or a sheet gives: of a measured one the number in its unit, else the text, which
 * need not be one of the choices. Undefined with a `bad-quantity` or `unit-mismatch`.
 */
export function linkGiven(
  linking: Linking,
  node: { readonly file: string; readonly path: Path },
  value: RawGiven,
  unit: string | undefined,
): FactValue | undefined {
  if (unit === undefined) return typeof value === "number" ? String(value) : value;
  if (typeof value === "number") return value;
  const text = typeof value === "string" ? value : value.join(", ");
  const parsed = parseQuantity(text);
  if (!parsed.ok) {
    const params = { text: parsed.why.text, reason: parsed.why.code };
    linking.report(node, "bad-quantity", node.path, params);
    return undefined;
  }
  const converted = convert(parsed.quantity.value, parsed.quantity.unit, unit);
  if (converted === undefined)
    linking.report(node, "unit-mismatch", node.path, { unit: parsed.quantity.unit, needs: unit });
  return converted;
}

export function linkFault(linking: Linking, part: Part, name: string, raw: RawFault): Fault {
  const path: Path = ["faults", name];
  // In evidence it is the row of all faults that have none.
  if (name === "otherwise") reserved(linking, part, path, name);
  const repair =
    raw.repair === undefined ? undefined : linking.resolve(part, "repair", raw.repair, [...path, "repair"]);
  return {
    id: part.scope + name,
    title: linkText(linking, part, raw.title ?? titleOf(name), [...path, "title"]),
    prior: raw.prior ?? 1,
    node: nodeOf(part, path),
    ...linkFindable(linking, part, raw, path),
    ...defined({ repair }),
  };
}

export function linkRepair(linking: Linking, part: Part, name: string, raw: RawRepair): Repair {
  const path: Path = ["repairs", name];
  checkConflict(linking, part, raw, path);
  return {
    id: part.scope + name,
    title: raw.title ?? titleOf(name),
    minutes: raw.minutes ?? 0,
    parts: (raw.parts ?? []).map(({ part: item = "", quantity = 1, renew }) => ({
      part: item,
      quantity,
      renew: renew === "always",
    })),
    needs: linking.resolveAll(part, "set-up", raw.needs, [...path, "needs"]),
    without: linking.resolveAll(part, "set-up", raw.without, [...path, "without"]),
    tools: raw.tools ?? [],
    cautions: linking.resolveAll(part, "caution", raw.cautions, [...path, "cautions"]),
    hazards: raw.hazards ?? [],
    do: (raw.do ?? []).map((act, index) => linkAct(linking, part, act, [...path, "do", index])),
    node: nodeOf(part, path),
    ...defined({ cost: raw.cost }),
  };
}

function linkAct(linking: Linking, part: Part, raw: RawAct, path: Path): Act {
  return {
    say: linkText(linking, part, raw.say ?? "", [...path, "say"]),
    cautions: linking.resolveAll(part, "caution", raw.cautions, [...path, "cautions"]),
    hazards: raw.hazards ?? [],
    ...linkFindable(linking, part, raw, path),
    ...defined({ torque: linkTorque(linking, part, raw.torque, [...path, "torque"]) }),
  };
}
