/** Facts and specifications that have to be known before each step. */
import { factId, namesInText } from "./fill-text.ts";
import { citedBy } from "./link-specification.ts";
import type { Expression, Limits, Procedure, Step } from "./model.ts";
import { scopeOf } from "./titles.ts";

type Linked = Pick<
  Procedure,
  "cautions" | "setUps" | "repairs" | "faults" | "facts" | "specifications" | "steps"
>;

/** The steps with the facts and specifications that each uses, in order of use. */
export function withNeeds(linked: Linked): Map<string, Step> {
  const setUpFacts = new Map<string, readonly string[]>();
  const steps = new Map<string, Step>();
  for (const [id, step] of linked.steps) {
    const specifications = specificationsOf(linked, step);
    const facts = [...new Set(factsOf(linked, step, specifications, setUpFacts))];
    steps.set(id, { ...step, specifications, facts: facts.filter((fact) => linked.facts.has(fact)) });
  }
  for (const step of steps.values()) if (step.kind === "call") askAtEntry(steps, step);
  return steps;
}

/** A call asks nothing itself: what its texts and returns use is asked at the first step inside. */
function askAtEntry(steps: Map<string, Step>, call: Step): void {
  let entry = call;
  while (entry.kind === "call") {
    const inside = steps.get(entry.entry);
    if (inside === undefined) return;
    entry = inside;
  }
  steps.set(entry.id, { ...entry, facts: [...new Set([...call.facts, ...entry.facts])] });
}

function specificationsOf(linked: Linked, step: Step): readonly string[] {
  if (step.kind !== "measure") return [];
  const found = new Set<string>();
  const visit = (id: string): void => {
    const specification = linked.specifications.get(id);
    if (specification === undefined || found.has(id)) return;
    found.add(id);
    for (const cited of citedBy(specification)) visit(cited);
  };
  if (step.judged.by === "specification") visit(step.judged.specification);
  for (const limits of limitsOf(step)) for (const cited of citedBy(limits)) visit(cited);
  return [...found];
}

function limitsOf(step: Step): readonly Limits[] {
  if (step.kind !== "measure") return [];
  const bands = step.judged.by === "bands" ? step.judged.bands : [];
  return step.plausible === undefined ? bands : [step.plausible, ...bands];
}

function* factsOf(
  linked: Linked,
  step: Step,
  specifications: readonly string[],
  setUpFacts: Map<string, readonly string[]>,
): Generator<string> {
  const repairs = step.kind === "conclude" ? step.repairs.flatMap((id) => linked.repairs.get(id) ?? []) : [];
  for (const { needs } of [step, ...repairs])
    for (const id of needs) yield* factsOfSetUp(linked, id, setUpFacts);
  yield* factsOfCautions(linked, step.cautions);
  yield* inTexts(step.scope, textsOf(step));
  for (const repair of repairs) {
    yield* factsOfCautions(linked, repair.cautions);
    for (const act of repair.do) {
      yield* factsOfCautions(linked, act.cautions);
      yield* inTexts(scopeOf(repair.id), [act.say, act.where]);
    }
  }
  if (step.kind === "conclude")
    for (const id of step.faults) {
      const fault = linked.faults.get(id);
      yield* inTexts(scopeOf(id), [fault?.title, fault?.where]);
    }
  for (const expression of expressionsOf(linked, step, specifications)) yield* expression.facts;
}

/** Facts in the texts of a set-up and of all that it needs, its cautions included. */
function factsOfSetUp(linked: Linked, id: string, known: Map<string, readonly string[]>): readonly string[] {
  const before = known.get(id);
  if (before !== undefined) return before;
  known.set(id, []);
  const setUp = linked.setUps.get(id);
  if (setUp === undefined) return [];
  const facts = [
    ...setUp.needs.flatMap((need) => factsOfSetUp(linked, need, known)),
    ...factsOfCautions(linked, setUp.cautions),
    ...inTexts(scopeOf(id), [setUp.do, setUp.where, setUp.putBack?.do]),
  ];
  known.set(id, facts);
  return facts;
}

function factsOfCautions(linked: Linked, ids: readonly string[]): readonly string[] {
  return ids.flatMap((id) => {
    const caution = linked.cautions.get(id);
    return [
      ...inTexts(scopeOf(id), [caution?.hazard, caution?.consequence, caution?.avoid, caution?.acknowledge]),
    ];
  });
}

function textsOf(step: Step): readonly (string | undefined)[] {
  const shown = [step.title, step.say, step.where];
  switch (step.kind) {
    case "ask":
      return [...shown, step.ask, ...step.answers.map((answer) => answer.label)];
    case "do":
      return [...shown, step.do];
    case "measure":
      return [...shown, step.correct?.temperature?.ask];
    case "call":
    case "conclude":
    case "end":
      return shown;
  }
}

function* inTexts(scope: string, texts: readonly (string | undefined)[]): Generator<string> {
  for (const text of texts)
    if (text !== undefined) for (const name of namesInText(text)) yield factId(scope, name);
}

/** Every expression that is evaluated at a step, in order of use. */
export function* expressionsOf(
  linked: Pick<Procedure, "specifications">,
  step: Step,
  specifications: readonly string[] = step.specifications,
): Generator<Expression> {
  const judging = specifications.flatMap((id) => linked.specifications.get(id) ?? []);
  for (const limits of [...limitsOf(step), ...judging])
    for (const end of [limits.low, limits.high]) if (end?.limit.kind === "table") yield end.limit.by;
  if (step.kind === "measure" && step.value !== undefined) yield step.value;
  for (const branch of step.outcomes.values())
    for (const arm of branch.arms) if (arm.if !== undefined) yield arm.if;
}
