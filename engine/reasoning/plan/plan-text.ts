/** A procedure's text with its tests in the best order: everything else as its author wrote it. */
import { type Document, isMap, isScalar, isSeq, type Node, parseDocument, visit, type YAMLMap } from "yaml";
import type { Procedure, Step } from "../../procedure/model.ts";
import type { ProcedurePlan } from "./plan-problem.ts";
import type { PlannedTest } from "./planned-tests.ts";
import { branchOf, hasKey, plainCopy, reachable, setGoto } from "./step-nodes.ts";
import { copiedSteps, returnWord, type Unwritable, unwritable } from "./unwritable.ts";
import type { PlanNode, PlanTarget, WrittenPlan } from "./written-plan.ts";

export type PlanText =
  | {
      readonly ok: true;
      readonly text: string;
      /** Steps that lead on where they can't be made or are too close to call, and end the job in this text. */
      readonly cutShort: readonly string[];
    }
  | ({ readonly ok: false } & Unwritable);

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
  if (!isMap(steps)) return { ok: false, step: "steps", why: "condition" };
  return new Rewrite(document, steps as YAMLMap, plan, written).text(id);
}

class Rewrite {
  readonly #document: Document;
  readonly #steps: YAMLMap;
  readonly #plan: ProcedurePlan;
  readonly #written: WrittenPlan;
  readonly #procedure: Procedure;
  /** The step's id at each node. */
  readonly #ids: readonly string[];
  /** Steps of the author's that are written anew. */
  readonly #moved: ReadonlySet<string>;
  /** Steps that stand in several places. */
  readonly #copied: ReadonlySet<string>;
  readonly #cutShort = new Set<string>();
  readonly #added = new Map<Added, string>();

  constructor(document: Document, steps: YAMLMap, plan: ProcedurePlan, written: WrittenPlan) {
    this.#document = document;
    this.#steps = steps;
    this.#plan = plan;
    this.#written = written;
    this.#procedure = plan.bulk.procedure;
    this.#ids = nodeIds(plan, written.nodes);
    this.#copied = copiedSteps(plan, written);
    this.#moved = new Set(
      plan.planned.flatMap(({ id, kind }, test) =>
        kind === "draw" || plan.front.includes(test) ? [] : [id],
      ),
    );
  }

  text(id: string): PlanText {
    const refused = unwritable(this.#plan, this.#written);
    if (refused !== undefined) return { ok: false, ...refused };
    const moved = this.#moved;
    const nodes = this.#written.nodes.flatMap((node, index) => this.#nodeStep(node, index));
    const inFront = this.#inFront();
    const front = this.#pairs().filter(([name]) => inFront.has(name));
    const rest = this.#pairs().filter(([name]) => !inFront.has(name) && !moved.has(name));
    for (const [, node] of front) this.#redirect(node, () => this.#idOf(this.#written.first));
    for (const [, node] of rest) this.#redirect(node, () => this.#end("did-not-help"));
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
    for (const [repair, strange] of this.#written.strangeAtRepairs) {
      const node = this.#document.getIn(["repairs", repair]);
      if (isMap(node)) this.#putBackFirst(node as YAMLMap, strange);
    }
    // Of a step that stands in several places each answer would count anew.
    if (this.#copied.size > 0) this.#document.delete("free-order");
    this.#document.set("procedure", id);
    const said = this.#document.commentBefore;
    const note = ` Order planned from ${this.#procedure.id}, revision ${this.#procedure.revision}.`;
    this.#document.commentBefore = said === null || said === undefined ? note : `${said}\n${note}`;
    return {
      ok: true,
      text: this.#document.toString({ lineWidth: 0 }),
      cutShort: [...this.#cutShort].sort(),
    };
  }

  #newKey(name: string): Node {
    const key = this.#document.createNode(name);
    key.spaceBefore = true;
    return key;
  }

  /** Steps that can be come to before anything that is moved, whatever their conditions say. */
  #inFront(): ReadonlySet<string> {
    const kept = this.#pairs().filter(([name, node]) => !this.#moved.has(name) && !hasKey(node, "conclude"));
    return reachable(kept, this.#procedure.start);
  }

  #pairs(): (readonly [string, Node])[] {
    return this.#steps.items.flatMap((pair) =>
      isScalar(pair.key) && isMap(pair.value) ? [[String(pair.key.value), pair.value] as const] : [],
    );
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
    return this.#ids[target.node] ?? "";
  }

  #nodeStep(node: PlanNode, index: number): (readonly [string, Node])[] {
    const planned = this.#plan.planned[node.test];
    const id = this.#ids[index] ?? "";
    if (planned === undefined) return [];
    const copy = plainCopy(this.#document, this.#steps.get(planned.id, true) as unknown as YAMLMap);
    if (this.#isFirst(index)) this.#warnFirst(copy);
    this.#putBackFirst(copy, node.strange);
    this.#answer(copy, planned, node, id);
    return [[id, copy as Node]];
  }

  /** What the author's order never has made at a step or repair is undone before it in this one, too. */
  #putBackFirst(step: YAMLMap, strange: ReadonlySet<string>): void {
    if (strange.size === 0) return;
    const there = step.get("without");
    const kept = isSeq(there) ? (there.toJSON() as readonly string[]) : [];
    step.set("without", this.#document.createNode([...new Set([...kept, ...strange])], { flow: true }));
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

  #answer(step: YAMLMap, planned: PlannedTest, node: PlanNode, id: string): void {
    const { bulk } = this.#plan;
    const own = bulk.steps[planned.step];
    const set = new Set<string>();
    // Of a call's ways with one return, one that is come to says where it goes on.
    const targets = [...node.targets].sort(([, a], [, b]) => Number("added" in a) - Number("added" in b));
    for (const [outcome, target] of targets) {
      const [last] = planned.walked[outcome] ?? [];
      const word =
        planned.kind === "call"
          ? returnWord(this.#plan, planned, outcome)
          : last !== undefined && "step" in last
            ? bulk.outcomes[last.step]?.[last.outcome]
            : undefined;
      const branch = word === undefined || set.has(word) ? undefined : branchOf(step, word);
      if (branch === undefined || word === undefined) continue;
      set.add(word);
      setGoto(branch, this.#idOf(target));
    }
    if (own === undefined) return;
    this.#mendBorderline(step, own, id);
    this.#mendCannot(step, own);
    // What is left leads to an end, or to what nobody comes to.
    for (const outcome of own.outcomes.keys()) {
      const branch = set.has(outcome) ? undefined : branchOf(step, outcome);
      if (branch !== undefined && branch.get("goto") !== id)
        this.#redirect(branch as unknown as Node, () => this.#end("seldom"));
    }
  }

  /** Measured again under its own name; what it is given up for stays where that is an end. */
  #mendBorderline(step: YAMLMap, own: Step, id: string): void {
    const branch = step.get("borderline");
    if (!isMap(branch)) return;
    const goto = String(branch.get("goto"));
    if (goto === own.id) {
      branch.set("goto", id);
      if (!branch.has("else") || this.#isEnd(String(branch.get("else")))) return;
      branch.delete("else");
    } else if (this.#isEnd(goto)) return;
    else step.delete("borderline");
    this.#cutShort.add(own.id);
  }

  #mendCannot(step: YAMLMap, own: Step): void {
    const branch = own.outcomes.get("cannot");
    if (branch?.arms.some((arm) => !this.#isEnd(arm.goto)) !== true) return;
    step.delete("cannot");
    this.#cutShort.add(own.id);
  }

  #isEnd(step: string): boolean {
    return this.#procedure.steps.get(step)?.kind === "end";
  }

  /** Branches of a step that stays lead to what stays. */
  #redirect(step: Node, where: () => string): void {
    const moved = this.#moved;
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

  /** `after` of a step that is not there any more, or stands in several places, says nothing. */
  #dropAfter(there: ReadonlySet<string>): void {
    const copied = this.#copied;
    for (const [, node] of this.#pairs()) {
      if (!isMap(node) || !node.has("after")) continue;
      const after = (node.toJSON() as { after?: unknown }).after;
      const kept = Array.isArray(after)
        ? after.filter((one) => there.has(String(one)) && !copied.has(String(one)))
        : [];
      if (kept.length === 0) node.delete("after");
      else node.set("after", this.#document.createNode(kept, { flow: true }));
    }
  }
}

/** Ids of the likeliest copy of a step are its own, of the others derived. */
function nodeIds({ bulk, planned }: ProcedurePlan, nodes: readonly PlanNode[]): readonly string[] {
  const taken = new Set(bulk.steps.map((step) => step.id));
  const used = new Set<string>();
  const ids = nodes.map(() => "");
  const order = [...nodes.keys()].sort((a, b) => (nodes[b]?.probability ?? 0) - (nodes[a]?.probability ?? 0));
  for (const index of order) {
    const own = planned[nodes[index]?.test ?? -1]?.id ?? "";
    let id = own;
    for (let number = 2; used.has(id) || (id !== own && taken.has(id)); number += 1) id = `${own}-${number}`;
    used.add(id);
    ids[index] = id;
  }
  return ids;
}
