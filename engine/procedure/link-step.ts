/** Steps: what all kinds share, and each kind of its own. */
import type { RawBranch, RawStep } from "../../schemas/generated/procedure.ts";
import { dimensionOf, unitOf } from "../quantity/units.ts";
import { defined } from "./defined.ts";
import { impliedBranch, linkBranch, linkTarget, type StepPlace } from "./link-branch.ts";
import { linkEvidence } from "./link-evidence.ts";
import { linkText } from "./link-expression.ts";
import { linkJudged, linkMeasured } from "./link-measure.ts";
import { checkConflict, linkFindable } from "./link-parts.ts";
import { linkNumber } from "./link-quantity.ts";
import { entriesOf, type Linking, nodeOf, type Part, type Path } from "./linking.ts";
import type {
  AskStep,
  Branch,
  ConcludeStep,
  DoStep,
  EndStep,
  Fault,
  MeasureStep,
  Outcome,
  Step,
  StepId,
} from "./model.ts";
import { titleOf } from "./titles.ts";

/** Minutes of a step that does not say. */
const MINUTES = { ask: 1, measure: 2, do: 2 } as const;

export type Outcomes = Map<Outcome, Branch>;

type Base = Omit<EndStep, "kind" | "end" | "returnsTo">;

/** The step, or an end that stands for one whose kind could not be read. */
export function linkStep(
  linking: Linking,
  part: Part,
  name: string,
  raw: RawStep,
  faults: ReadonlyMap<string, Fault>,
): Exclude<Step, { kind: "call" }> {
  const step = part.scope + name;
  const path: Path = ["steps", name];
  const place: StepPlace = { linking, part, step, thisReading: raw.measure !== undefined, raw, path };
  if (raw.ask !== undefined) return linkAsk(place, raw.ask);
  if (raw.measure !== undefined) return linkMeasure(place, raw.measure);
  if (raw.do !== undefined) return linkDo(place, raw.do);
  if (raw.conclude !== undefined) return linkConclude(place, raw.conclude, faults);
  const base = linkBase(place, 0, new Map());
  return { kind: "end", end: raw.end ?? "unresolved", ...base, ...defined({ returnsTo: part.call?.step }) };
}

/** What every kind of step has. Facts and specifications are found once everything is linked. */
export function linkBase(place: StepPlace, minutes: number, outcomes: Outcomes): Base {
  const { linking, part, raw, path, step } = place;
  checkConflict(linking, part, raw, path);
  for (const [index, name] of (raw.after ?? []).entries())
    if (part.scope + name === step)
      linking.report(part, "wrong-shape", [...path, "after", index], { reason: "after-itself", name });
  const say = raw.say === undefined ? undefined : linkText(linking, part, raw.say, [...path, "say"]);
  return {
    id: step,
    scope: part.scope,
    title: linkText(linking, part, raw.title ?? titleOf(step), [...path, "title"]),
    minutes: raw.minutes ?? minutes,
    needs: linking.resolveAll(part, "set-up", raw.needs, [...path, "needs"]),
    without: linking.resolveAll(part, "set-up", raw.without, [...path, "without"]),
    cautions: linking.resolveAll(part, "caution", raw.cautions, [...path, "cautions"]),
    hazards: raw.hazards ?? [],
    tools: raw.tools ?? [],
    facts: [],
    specifications: [],
    after: linking.resolveAll(part, "step", raw.after, [...path, "after"]),
    outcomes,
    node: nodeOf(part, path),
    ...linkFindable(linking, part, raw, path),
    ...defined({ say }),
  };
}

function linkTimed({ linking, part, raw, path }: StepPlace): { waitMinutes?: number; limitSeconds?: number } {
  return defined({
    waitMinutes: linkNumber(linking, part, raw.wait, "min", [...path, "wait"]),
    limitSeconds: linkNumber(linking, part, raw.limit, "s", [...path, "limit"]),
  });
}

function linkAsk(place: StepPlace, ask: string): AskStep {
  const { linking, part, raw, path } = place;
  const written = entriesOf(raw.answers);
  const outcomes = branchesOf(place, written, "answers");
  const evidence = linkEvidence(linking, part, raw.evidence, [...outcomes.keys()], undefined, [
    ...path,
    "evidence",
  ]);
  addCannotAndStop(place, outcomes);
  return {
    kind: "ask",
    ...linkBase(place, MINUTES.ask, outcomes),
    ...linkTimed(place),
    ask: linkText(linking, part, ask, [...path, "ask"]),
    answers: written.map(([id, { label }]) => ({ id, label: label ?? titleOf(id) })),
    ...defined({ evidence }),
  };
}

function linkMeasure(place: StepPlace, quantity: MeasureStep["quantity"]): MeasureStep {
  const { linking, part, raw, path } = place;
  const measured = linkMeasured(place, quantity);
  const { judged, outcomes: written } = linkJudged(place, measured.unit);
  const outcomes = branchesOf(place, written.branches, written.key);
  const dimension = unitOf(measured.unit)?.dimension ?? dimensionOf(quantity);
  const evidence = linkEvidence(linking, part, raw.evidence, [...outcomes.keys()], dimension, [
    ...path,
    "evidence",
  ]);
  if (raw.borderline !== undefined)
    outcomes.set("borderline", linkBranch(place, "borderline", raw.borderline, [...path, "borderline"]));
  addCannotAndStop(place, outcomes);
  const base = linkBase(place, MINUTES.measure, outcomes);
  return { kind: "measure", ...base, ...linkTimed(place), ...measured, judged, ...defined({ evidence }) };
}

function linkDo(place: StepPlace, text: string): DoStep {
  const { linking, part, raw, path } = place;
  const outcomes = branchesOf(place, [["done", raw.done ?? {}]], undefined);
  addCannotAndStop(place, outcomes);
  return {
    kind: "do",
    ...linkBase(place, MINUTES.do, outcomes),
    ...linkTimed(place),
    do: linkText(linking, part, text, [...path, "do"]),
  };
}

function linkConclude(
  place: StepPlace,
  conclude: string | readonly string[],
  faults: ReadonlyMap<string, Fault>,
): ConcludeStep {
  const { linking, part, raw, path, step } = place;
  const at = [...path, "conclude"];
  const concluded =
    typeof conclude === "string"
      ? [linking.resolve(part, "fault", conclude, at)].filter((id) => id !== undefined)
      : linking.resolveAll(part, "fault", conclude, at);
  const repairs = concluded.flatMap((id) => faults.get(id)?.repair ?? []);
  const outcomes: Outcomes = new Map();
  let verify: StepId | undefined;
  if (raw.verify !== undefined) {
    tellUnrepaired(place, concluded, faults);
    verify = linkTarget(linking, part, raw.verify, [...path, "verify"]);
    const node = nodeOf(part, [...path, "verify"]);
    outcomes.set("repaired", {
      step,
      outcome: "repaired",
      arms: [{ goto: verify, node }],
      implied: false,
      node,
      ...atMostOf(place),
    });
  } else outcomes.set("concluded", linkBranch(place, "concluded", raw, path));
  outcomes.set("stop", impliedBranch(place, "stop", "stopped", path));
  const base = linkBase(place, 0, outcomes);
  return {
    kind: "conclude",
    ...base,
    faults: concluded,
    // A conclusion that only goes on to a referral repairs nothing.
    repairs: verify === undefined ? [] : [...new Set(repairs)],
    ...defined({ verify }),
  };
}

/** Faults without a repair are not fixed by verifying: an error where there is nothing to verify at all. */
function tellUnrepaired(
  { linking, part, path }: StepPlace,
  concluded: readonly string[],
  faults: ReadonlyMap<string, Fault>,
): void {
  // A name of a repair that is not there was told where it is written.
  const bare = concluded.filter(
    (id) => faults.get(id)?.repair === undefined && !writesRepair(linking, part, id),
  );
  if (bare.length === 0) return;
  const severity = bare.length === concluded.length ? "error" : "warning";
  const params = { step: part.scope + String(path[1] ?? ""), fault: bare.join(", "), reason: "no-repair" };
  linking.report(part, "no-verification", [...path, "conclude"], params, { severity });
}

function writesRepair(linking: Linking, part: Part, fault: string): boolean {
  const scope = fault.slice(0, fault.lastIndexOf("/") + 1);
  const owner = scope === part.scope ? part : linking.called.get(scope.slice(0, -1));
  return owner?.raw.faults?.[fault.slice(scope.length)]?.repair !== undefined;
}

/** `at-most` and `else` of a conclusion that is verified. */
function atMostOf({ linking, part, raw, path }: StepPlace): Pick<Branch, "atMost" | "else"> {
  const elseStep =
    raw.else === undefined ? undefined : linkTarget(linking, part, raw.else, [...path, "else"]);
  return defined({ atMost: raw["at-most"], else: elseStep });
}

function branchesOf(
  place: StepPlace,
  written: readonly (readonly [Outcome, RawBranch])[],
  key: string | undefined,
): Outcomes {
  const outcomes: Outcomes = new Map();
  for (const [outcome, raw] of written) {
    const path =
      outcome === "taken" ? place.path : [...place.path, ...(key === undefined ? [] : [key]), outcome];
    outcomes.set(outcome, linkBranch(place, outcome, raw, path));
  }
  return outcomes;
}

/** The ways out that every prompt has. */
function addCannotAndStop(place: StepPlace, outcomes: Outcomes): void {
  const { raw, path } = place;
  const cannot =
    raw.cannot === undefined
      ? impliedBranch(place, "cannot", "unresolved", path)
      : linkBranch(place, "cannot", raw.cannot, [...path, "cannot"]);
  outcomes.set("cannot", cannot);
  outcomes.set("stop", impliedBranch(place, "stop", "stopped", path));
}
