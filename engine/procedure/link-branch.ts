/** Where outcomes lead. */
import type { RawBranch, RawStep } from "../../schemas/generated/procedure.ts";
import { defined } from "./defined.ts";
import { linkExpression } from "./link-expression.ts";
import { type Linking, nodeOf, type Part, type Path } from "./linking.ts";
import type { Branch, EndWord, Outcome, StepId } from "./model.ts";

/** The step whose branches are linked. */
interface BranchPlace {
  readonly linking: Linking;
  readonly part: Part;
  readonly step: StepId;
  /** Whether conditions may use `reading`. */
  readonly thisReading: boolean;
}

/** What the kinds of a step are made from. */
export interface StepPlace extends BranchPlace {
  readonly raw: RawStep;
  readonly path: Path;
}

/**
 * The branch as written. A step that is not there is an `unknown-step`, and the branch leads to the implied
 * `unresolved` instead, so that the rest can still be drawn and proven.
 */
export function linkBranch(place: BranchPlace, outcome: Outcome, raw: RawBranch, path: Path): Branch {
  const { linking, part, step } = place;
  const elseStep =
    raw.else === undefined ? undefined : linkTarget(linking, part, raw.else, [...path, "else"]);
  return {
    step,
    outcome,
    arms: linkArms(place, raw, path),
    implied: false,
    node: nodeOf(part, path),
    ...defined({ atMost: raw["at-most"], else: elseStep }),
  };
}

function linkArms(place: BranchPlace, raw: RawBranch, path: Path): Branch["arms"] {
  const { linking, part } = place;
  if (raw.then === undefined) {
    const at = [...path, "goto"];
    const goto = linkTarget(linking, part, raw.goto, at);
    return [{ goto, node: nodeOf(part, raw.goto === undefined ? path : at) }];
  }
  const arms: Branch["arms"][number][] = [];
  for (const [index, arm] of raw.then.entries()) {
    const at = [...path, "then", index];
    const goto = linkTarget(linking, part, arm.goto, [...at, "goto"]);
    const last = index === raw.then.length - 1;
    if (arm.if === undefined) {
      if (!last) linking.report(part, "wrong-shape", at, { reason: "arm-without-if" });
      return [...arms, { goto, node: nodeOf(part, at) }];
    }
    if (last) linking.report(part, "wrong-shape", [...at, "if"], { reason: "last-arm-if" }, { atKey: true });
    const condition = linkExpression(linking, part, arm.if, [...at, "if"], "bool", place.thisReading);
    if (condition !== undefined) arms.push({ if: condition, goto, node: nodeOf(part, at) });
  }
  return [...arms, { goto: linking.impliedEnd(part, "unresolved"), node: nodeOf(part, path) }];
}

/** The full id of a step that something leads to. */
export function linkTarget(linking: Linking, part: Part, name: string | undefined, path: Path): StepId {
  const id = name === undefined ? undefined : linking.resolve(part, "step", name, path);
  return id ?? linking.impliedEnd(part, "unresolved");
}

/** A branch that nobody wrote, to the end of that word. */
export function impliedBranch(place: BranchPlace, outcome: Outcome, word: EndWord, path: Path): Branch {
  const node = nodeOf(place.part, path);
  const goto = place.linking.impliedEnd(place.part, word);
  return { step: place.step, outcome, arms: [{ goto, node }], implied: true, node };
}
