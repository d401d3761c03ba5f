/** Calls: a called procedure becomes part of the calling one, under the call step's name. */
import type { RawBranch, RawProcedure, RawStep } from "../../schemas/generated/procedure.ts";
import { defined } from "./defined.ts";
import { impliedBranch, linkBranch, type StepPlace } from "./link-branch.ts";
import { notActedOn, reserved } from "./link-parts.ts";
import { linkBase, type Outcomes } from "./link-step.ts";
import { entriesOf, type Linking, nodeOf, type Part, type Path } from "./linking.ts";
import type { CallStep, EndWord, Step, StepId } from "./model.ts";

interface Called {
  readonly raw: RawProcedure;
  readonly file: string;
}

/**
 * The text of a procedure in the same folder, parsed; undefined when there is none, `unreadable` when it holds no
 * procedure, which findings of its own say.
 */
export type OpenCalled = (id: string) => Called | "unreadable" | undefined;

/** Calls in one procedure, those of called ones included. More is refused. */
const MOST_CALLS = 100;

const ANSWERS_KEYS: ReadonlySet<string> = new Set(["facts", "specifications", "choices"]);

/** Makes known the names of a part and of all that it calls. */
export function declareParts(linking: Linking, part: Part, open: OpenCalled, chain: readonly string[]): void {
  linking.declare(part);
  for (const [name, raw] of entriesOf(part.raw.steps)) {
    const path: Path = ["steps", name];
    // An answers file has these keys of its own, and paths call facts and unwritten ends so.
    if (ANSWERS_KEYS.has(name) || (name === "end" && raw.call !== undefined))
      reserved(linking, part, path, name);
    if (raw.call === undefined) continue;
    const called = openCall(linking, part, raw.call, [...path, "call"], open, chain);
    if (called === undefined) {
      linking.notOpened.add(part.scope + name);
      continue;
    }
    const child = childPart(linking, part, name, raw, called);
    linking.called.set(part.scope + name, child);
    declareParts(linking, child, open, [...chain, raw.call]);
  }
}

function openCall(
  linking: Linking,
  part: Part,
  id: string,
  path: Path,
  open: OpenCalled,
  chain: readonly string[],
): Called | undefined {
  if (chain.includes(id)) {
    linking.report(part, "endless-loop", path, { reason: "calls", name: [...chain, id].join(" > ") });
    return undefined;
  }
  if (linking.called.size >= MOST_CALLS) {
    linking.report(part, "wrong-shape", path, { reason: "too-many-calls", most: MOST_CALLS });
    return undefined;
  }
  const called = open(id);
  if (called === undefined) linking.unknown(part, "procedure", id, [], path);
  return called === "unreadable" ? undefined : called;
}

function childPart(
  linking: Linking,
  caller: Part,
  name: string,
  raw: RawStep,
  { raw: called, file }: Called,
): Part {
  const path: Path = ["steps", name];
  const setUps = new Map<string, string>();
  for (const [theirs, ours] of entriesOf(raw["set-ups"])) {
    const at = [...path, "set-ups", theirs];
    const id = linking.resolve(caller, "set-up", ours, at);
    const known = Object.keys(called["set-ups"] ?? {});
    if (!known.includes(theirs)) linking.unknown(caller, "set-up", theirs, known, at, true);
    else if (id !== undefined) setUps.set(theirs, id);
  }
  const given = new Map<
    string,
    { value: string | number | readonly string[]; node: ReturnType<typeof nodeOf> }
  >();
  for (const [fact, value] of entriesOf(raw.give)) {
    const at = [...path, "give", fact];
    const known = Object.keys(called.facts ?? {});
    if (typeof value === "string" && value.includes("{facts.")) notActedOn(linking, caller, at);
    if (known.includes(fact)) given.set(fact, { value, node: nodeOf(caller, at) });
    else linking.unknown(caller, "fact", fact, known, at, true);
  }
  const step = caller.scope + name;
  return { raw: called, file, scope: `${step}/`, call: { step, caller, setUps, given } };
}

/** Names of what a called procedure's ends return; a repair that was proven has found its fault. */
const RETURNS: Readonly<Record<EndWord, EndWord>> = {
  fixed: "fault-found",
  "fault-found": "fault-found",
  "no-fault-found": "no-fault-found",
  referred: "referred",
  unresolved: "unresolved",
  stopped: "stopped",
};

/** The call step, once the steps behind it are linked. `entry` is where it leads at once. */
export function linkCall(
  place: StepPlace,
  procedure: string,
  behind: readonly Step[],
  entry: StepId,
): CallStep {
  const { linking, raw, path, step } = place;
  const outcomes: Outcomes = new Map();
  for (const [name, branch] of entriesOf<RawBranch>(raw.returns))
    outcomes.set(name, linkBranch(place, name, branch, [...path, "returns", name]));
  const ends = [...behind, ...linking.impliedEnds.values()].flatMap((each) =>
    each.kind === "end" && each.returnsTo === step ? [each.end] : [],
  );
  for (const end of ends) {
    const name = RETURNS[end];
    // Only where every such end was verified may a run that nobody leads on end as fixed.
    const word = name === "fault-found" && !ends.includes("fault-found") ? "fixed" : name;
    if (!outcomes.has(name)) outcomes.set(name, impliedBranch(place, name, word, path));
  }
  const called = linking.called.get(step)?.raw;
  return {
    kind: "call",
    ...linkBase(place, 0, outcomes),
    procedure,
    entry,
    ...defined({
      brings: called?.hazards,
      freeOrder: called?.["free-order"],
      certainty: called?.certainty,
    }),
  };
}
