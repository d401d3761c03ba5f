/** A procedure's text with its tests in the best order: everything else as its author wrote it. */
import {
  type Document,
  isAlias,
  isMap,
  isScalar,
  isSeq,
  type Node,
  parseDocument,
  visit,
  type YAMLMap,
} from "yaml";
import { expressionsOf } from "../../procedure/link-needs.ts";
import type { Procedure, Step } from "../../procedure/model.ts";
import { CALLS } from "../bulk-procedure.ts";
import type { PlannedTest, ProcedurePlan } from "./plan-problem.ts";
import type { PlanNode, PlanTarget, WrittenPlan } from "./written-plan.ts";

export type PlanText =
  | { readonly ok: true; readonly text: string }
  /** A step that would stand in several places although a condition or value uses its reading. */
  | { readonly ok: false; readonly step: string };

const ADDED = {
  seldom: {
    end: "referred",
    say: "These answers do not fit together. Look again at the one that surprised you, then hand over with all readings.",
  },
  "not-told-apart": {
    end: "referred",
    say: "No step tells apart what is left. Hand over with all readings.",
  },
  "did-not-help": {
    end: "referred",
    say: "The repair did not help. Stop here and hand over to the lead technician with all readings.",
  },
} as const;
type Added = keyof typeof ADDED;

/**
 * The text as a procedure `id` of its own. Steps in front, conclusions, verification, ends and repairs stay; a test
 * that is made in several places gets derived ids. Where a repair did not help, the run goes where it went when its
 * ways back were used up, else to the lead technician: the order was planned for the first round.
 */
export function planText(text: string, plan: ProcedurePlan, written: WrittenPlan, id: string): PlanText {
  const document = parseDocument(text, { keepSourceTokens: false });
  const steps = document.get("steps");
  if (!isMap(steps)) return { ok: false, step: "steps" };
  return new Rewrite(document, steps as YAMLMap, plan, written).text(id);
}

class Rewrite {
  readonly #document: Document;
  readonly #steps: YAMLMap;
  readonly #plan: ProcedurePlan;
  readonly #written: WrittenPlan;
  readonly #procedure: Procedure;
  /** Ids of each node's steps: its lead-in, then the test itself. */
  readonly #ids: readonly (readonly string[])[];
  readonly #added = new Map<Added, string>();

  constructor(document: Document, steps: YAMLMap, plan: ProcedurePlan, written: WrittenPlan) {
    this.#document = document;
    this.#steps = steps;
    this.#plan = plan;
    this.#written = written;
    this.#procedure = plan.bulk.procedure;
    this.#ids = nodeIds(plan, written.nodes);
  }

  text(id: string): PlanText {
    const used = this.#usedTwice();
    if (used !== undefined) return { ok: false, step: used };
    const moved = new Set(
      this.#plan.planned.flatMap(({ step, leadIn }) => [step, ...leadIn].map((at) => this.#stepId(at))),
    );
    const nodes = this.#written.nodes.flatMap((node, index) => this.#nodeSteps(node, index));
    const front = this.#pairs().filter(([name]) => this.#isFront(name));
    const rest = this.#pairs().filter(([name]) => !this.#isFront(name) && !moved.has(name));
    for (const [, node] of front) this.#redirect(node, moved, () => this.#idOf(this.#written.first));
    for (const [, node] of rest) this.#redirect(node, moved, () => this.#end("did-not-help"));
    const start = this.#procedure.start;
    if (moved.has(start)) this.#document.set("start", this.#idOf(this.#written.first));
    const added = [...this.#added].map(
      ([kind, name]) => [name, this.#document.createNode(ADDED[kind])] as const,
    );
    const all = [...front, ...nodes.toReversed(), ...rest, ...added];
    const reached = reachable(all, String(this.#document.get("start")));
    const keys = new Map(this.#steps.items.map((pair) => [String(pair.key), pair.key]));
    this.#steps.items = all
      .filter(([name]) => reached.has(name))
      .map(([name, node]) => this.#document.createPair(keys.get(name) ?? this.#newKey(name), node));
    this.#dropAfter(reached);
    this.#document.set("procedure", id);
    const said = this.#document.commentBefore;
    const note = ` Order planned from ${this.#procedure.id}, revision ${this.#procedure.revision}.`;
    this.#document.commentBefore = said === null || said === undefined ? note : `${said}\n${note}`;
    return { ok: true, text: this.#document.toString({ lineWidth: 0 }) };
  }

  #newKey(name: string): Node {
    const key = this.#document.createNode(name);
    key.spaceBefore = true;
    return key;
  }

  #stepId(at: number): string {
    return this.#plan.bulk.steps[at]?.id ?? "";
  }

  #isFront(name: string): boolean {
    return this.#plan.front.has(this.#plan.bulk.indexOf.get(name) ?? -1);
  }

  #pairs(): (readonly [string, Node])[] {
    return this.#steps.items.flatMap((pair) =>
      isScalar(pair.key) && isMap(pair.value) ? [[String(pair.key.value), pair.value] as const] : [],
    );
  }

  /** A test of several places whose reading is used by name elsewhere. */
  #usedTwice(): string | undefined {
    const counts = new Map<number, number>();
    for (const { test } of this.#written.nodes) counts.set(test, (counts.get(test) ?? 0) + 1);
    const expressions = [...this.#procedure.steps.values()].flatMap((step) => [
      ...expressionsOf(this.#procedure, step),
    ]);
    const used = new Set(expressions.flatMap(({ readings, elapsed }) => [...readings, ...elapsed]));
    for (const [test, count] of counts) {
      const step = this.#stepId(this.#plan.planned[test]?.step ?? -1);
      if (count > 1 && used.has(step)) return step;
    }
    return undefined;
  }

  #end(kind: Added): string {
    const known = this.#added.get(kind);
    if (known !== undefined) return known;
    let name: string = kind;
    while (this.#procedure.steps.has(name)) name = `${name}-planned`;
    this.#added.set(kind, name);
    return name;
  }

  #idOf(target: PlanTarget): string {
    if ("step" in target) return target.step;
    if ("added" in target) return this.#end(target.added);
    return this.#ids[target.node]?.[0] ?? "";
  }

  #nodeSteps(node: PlanNode, index: number): (readonly [string, Node])[] {
    const planned = this.#plan.planned[node.test];
    const ids = this.#ids[index] ?? [];
    if (planned === undefined) return [];
    const made = [...planned.leadIn, planned.step].map((at, place) => {
      const original = this.#steps.get(this.#stepId(at), true) as unknown as YAMLMap;
      const copy = plainCopy(this.#document, original);
      const next = ids[place + 1];
      if (place === 0 && this.#isFirst(index)) this.#warnFirst(copy);
      if (next !== undefined) this.#leadOn(copy, next);
      else this.#answer(copy, planned, node, ids[place] ?? "");
      return [ids[place] ?? "", copy as Node] as const;
    });
    // The whole list is turned round at the end.
    return made.toReversed();
  }

  #isFirst(index: number): boolean {
    const { first } = this.#written;
    return "node" in first && first.node === index;
  }

  /** What the machine itself can do to people is told before the first work, whichever step that is now. */
  #warnFirst(step: YAMLMap): void {
    const { cautions, hazards, steps } = this.#procedure;
    const used = new Set([...steps.values()].flatMap((each) => each.cautions));
    const there = step.get("cautions");
    const kept = isSeq(there) ? (there.toJSON() as readonly string[]) : [];
    const more = hazards.flatMap((hazard) => {
      const covering = [...cautions.values()].filter(({ covers }) => covers.includes(hazard));
      if (covering.some(({ id }) => kept.includes(id))) return [];
      // A called procedure's cautions have no name here.
      const [first] = covering.filter(({ id }) => used.has(id) && !id.includes("/"));
      return first === undefined ? [] : [first.id];
    });
    const all = [...new Set([...kept, ...more])];
    if (all.length > kept.length) step.set("cautions", this.#document.createNode(all, { flow: true }));
  }

  /** A step of a lead-in goes on to the next. */
  #leadOn(step: YAMLMap, next: string): void {
    const branch = this.#document.createNode({ goto: next });
    if (step.has("done")) step.set("done", branch);
    else step.set("goto", next);
  }

  #answer(step: YAMLMap, planned: PlannedTest, node: PlanNode, id: string): void {
    const { bulk } = this.#plan;
    const own = bulk.steps[planned.step];
    const called = bulk.kind[planned.step] === CALLS;
    const holder = ["answers", "bands", "outcomes", "returns"].find((key) => step.has(key));
    const branches = holder === undefined ? undefined : step.get(holder);
    if (!isMap(branches)) return;
    // Of a call's ways with one return, the likeliest says where it goes on: the first that is set.
    for (const [outcome, target] of node.targets) {
      const last = planned.walked[outcome]?.at(-1);
      if (last === undefined) continue;
      const word = called
        ? returnWord(this.#plan, last)
        : (bulk.outcomes[planned.step]?.[last.outcome] ?? "");
      const branch = word === undefined ? undefined : branches.get(word);
      if (isMap(branch)) setGoto(branch as YAMLMap, this.#idOf(target));
    }
    if (own === undefined) return;
    this.#mendBorderline(step, own, id);
    this.#mendCannot(step, own);
  }

  /** Measured again under its own name; what it is given up for stays where that is an end. */
  #mendBorderline(step: YAMLMap, own: Step, id: string): void {
    const branch = step.get("borderline");
    if (!isMap(branch)) return;
    const goto = String(branch.get("goto"));
    if (goto === own.id) {
      branch.set("goto", id);
      if (!this.#isEnd(String(branch.get("else")))) branch.delete("else");
    } else if (!this.#isEnd(goto)) step.delete("borderline");
  }

  #mendCannot(step: YAMLMap, own: Step): void {
    const branch = own.outcomes.get("cannot");
    if (branch?.arms.some((arm) => !this.#isEnd(arm.goto)) === true) step.delete("cannot");
  }

  #isEnd(step: string): boolean {
    return this.#procedure.steps.get(step)?.kind === "end";
  }

  /** Branches of a step that stays lead to what stays. */
  #redirect(step: Node, moved: ReadonlySet<string>, where: () => string): void {
    visit(step, {
      Map: (_, map) => {
        const goto = map.get("goto");
        if (typeof goto === "string" && moved.has(goto)) {
          const other = map.get("else");
          map.set("goto", typeof other === "string" && !moved.has(other) ? other : where());
          map.delete("else");
          map.delete("at-most");
        } else if (moved.has(String(map.get("else")))) map.set("else", where());
        if (moved.has(String(map.get("verify")))) map.set("verify", where());
      },
    });
  }

  /** `after` of a step that is not there any more says nothing. */
  #dropAfter(there: ReadonlySet<string>): void {
    for (const [, node] of this.#pairs()) {
      if (!isMap(node) || !node.has("after")) continue;
      const after = (node.toJSON() as { after?: unknown }).after;
      const kept = Array.isArray(after) ? after.filter((one) => there.has(String(one))) : [];
      if (kept.length === 0) node.delete("after");
      else node.set("after", this.#document.createNode(kept, { flow: true }));
    }
  }
}

/** Ids of the likeliest copy of a step are its own, of the others derived. */
function nodeIds(
  { bulk, planned }: ProcedurePlan,
  nodes: readonly PlanNode[],
): readonly (readonly string[])[] {
  const taken = new Set(bulk.steps.map((step) => step.id));
  const used = new Set<string>();
  const ids: string[][] = nodes.map(() => []);
  const order = [...nodes.keys()].sort((a, b) => (nodes[b]?.probability ?? 0) - (nodes[a]?.probability ?? 0));
  for (const index of order) {
    const test = planned[nodes[index]?.test ?? -1];
    for (const at of test === undefined ? [] : [...test.leadIn, test.step]) {
      const own = bulk.steps[at]?.id ?? "";
      let id = own;
      for (let number = 2; used.has(id) || (id !== own && taken.has(id)); number += 1)
        id = `${own}-${number}`;
      used.add(id);
      ids[index]?.push(id);
    }
  }
  return ids;
}

/** The word that a called procedure returns by after its last answer; undefined where it concludes. */
function returnWord(
  { bulk }: ProcedurePlan,
  last: { readonly step: number; readonly outcome: number },
): string | undefined {
  const branch = (bulk.firstBranch[last.step] ?? 0) + last.outcome;
  const step = bulk.steps[bulk.armTo[bulk.firstArm[branch] ?? -1] ?? -1];
  if (step?.kind !== "end") return undefined;
  return step.end === "fixed" ? "fault-found" : step.end;
}

function setGoto(branch: YAMLMap, goto: string): void {
  for (const key of ["then", "at-most", "else"]) branch.delete(key);
  branch.set("goto", goto);
}

/** A copy without anchors and aliases, so that it can stand anywhere and more than once. */
function plainCopy(document: Document, original: YAMLMap): YAMLMap {
  const copy = original.clone() as YAMLMap;
  visit(copy, {
    Node: (_, node) => {
      if (!isAlias(node)) {
        delete node.anchor;
        return undefined;
      }
      const meant = node.resolve(document)?.clone() as Node | undefined;
      if (meant !== undefined && !isAlias(meant)) delete meant.anchor;
      return meant;
    },
  });
  return copy;
}

/** Steps that can be come to, by every word that leads anywhere. */
function reachable(steps: readonly (readonly [string, Node])[], start: string): ReadonlySet<string> {
  const byName = new Map(steps);
  const seen = new Set<string>();
  const waiting = [start];
  for (let name = waiting.pop(); name !== undefined; name = waiting.pop()) {
    const node = byName.get(name);
    if (node === undefined || seen.has(name)) continue;
    seen.add(name);
    visit(node, {
      Pair: (_, { key, value }) => {
        // What was set by hand is plain, what was read is a scalar.
        const [name, to] = [key, value].map((one) => (isScalar(one) ? one.value : one));
        if (LEADING.has(String(name)) && typeof to === "string") waiting.push(to);
      },
    });
  }
  return seen;
}

const LEADING = new Set(["goto", "else", "verify"]);
