/**
 * A procedure as an XState statechart: a state for each step (a called procedure's steps inside the state of
 * the step that calls it), events as the technician gives them, a guard for each arm of each branch. Guards
 * and context ask the same functions as `advance`; where the chart goes is the chart's own doing.
 */
import { type AnyStateMachine, assign, setup } from "xstate";
import { type Branch, IMPLIED_ENDS, type Procedure, type Step, type StepId } from "../procedure/model.ts";
import { advance } from "./advance.ts";
import { type Applied, openRun } from "./apply.ts";
import type { Opening, RunEvent } from "./event.ts";
import type { Hop, Run } from "./run.ts";

/** The statechart of a procedure. Its input is an opening, its context the run. */
export function toStatechart(procedure: Procedure) {
  const outcomeOf = rememberLast(procedure);
  const nested = new Map<StepId | undefined, Step[]>();
  for (const step of procedure.steps.values()) {
    const call = callAround(procedure, step);
    const siblings = nested.get(call);
    if (siblings) siblings.push(step);
    else nested.set(call, [step]);
  }
  const statesIn = (call: StepId | undefined): Record<string, object> => {
    const states: [string, object][] = [];
    for (const step of nested.get(call) ?? [])
      states.push([stateKey(step), stateOf(procedure, step, statesIn)]);
    // A draft may come to the unresolved end although nothing in it says so.
    if (call === undefined && !procedure.steps.has(UNRESOLVED))
      states.push([UNRESOLVED, endState(UNRESOLVED)]);
    return Object.fromEntries(states);
  };
  const wherever = [...new Set([...procedure.steps.keys(), UNRESOLVED])]
    .filter((id) => procedure.steps.get(id)?.kind !== "call")
    .map(standing);
  const machine = setup({
    types: {} as { context: { readonly run: Run }; events: RunEvent; input: Opening },
    guards: {
      accepted: ({ context, event }) => outcomeOf(context.run, event).ok,
      takes: ({ context, event }, hop: Omit<Hop, "goto">) => {
        // Where answers were chosen the way is more than one branch: see `standing`.
        if (context.run.waiting !== undefined || context.run.ahead !== undefined) return false;
        const next = outcomeOf(context.run, event);
        return next.ok && next.run.hops[0] !== undefined && sameHop(next.run.hops[0], hop);
      },
      prepared: ({ context }) => context.run.phase === "open",
      returned: ({ context }, hop: Omit<Hop, "goto">) =>
        context.run.hops.some((taken) => sameHop(taken, hop)),
      standsAt: ({ context, event }, at: { readonly step: StepId }) => {
        const next = outcomeOf(context.run, event);
        return next.ok && next.run.step === at.step;
      },
    },
    actions: {
      record: assign(({ context, event }) => {
        const next = outcomeOf(context.run, event);
        return next.ok ? { run: next.run } : {};
      }),
    },
  }).createMachine({
    id: "procedure",
    context: ({ input }) => ({ run: openRun(procedure, input) }),
    initial: stateKey(procedure.steps.get(procedure.start)),
    states: statesIn(undefined) as never,
    on: {
      amend: wherever,
      ...(procedure.freeOrder ? Object.fromEntries(CHOSEN.map((type) => [type, wherever])) : {}),
      remark: { guard: "accepted", actions: "record" },
    } as never,
  });
  return machine;
}

/** The step that a snapshot of the chart stands at, told from the chart's own state value. */
export function stepOfState(
  machine: { readonly root: AnyStateMachine["root"] },
  value: unknown,
): StepId | undefined {
  let node: AnyStateMachine["root"] | undefined = machine.root;
  let rest = value;
  let step: StepId | undefined;
  while (node !== undefined && rest !== undefined) {
    const key = typeof rest === "string" ? rest : Object.keys(rest as object)[0];
    node = key === undefined ? undefined : node.states[key];
    const meta: unknown = node?.meta;
    if (isStepMeta(meta)) step = meta.step;
    rest = typeof rest === "string" || key === undefined ? undefined : (rest as Record<string, unknown>)[key];
  }
  return step;
}

function isStepMeta(meta: unknown): meta is { step: StepId } {
  return typeof meta === "object" && meta !== null && "step" in meta;
}

/** Events by which a run can go elsewhere than one written branch leads, once steps were chosen. */
const CHOSEN: readonly RunEvent["type"][] = ["choose", "answer", "reading", "done", "cannot", "stop"];

const UNRESOLVED = IMPLIED_ENDS.cannot;

/** A key that is safe in an object literal: `__proto__` is an ordinary step. `end/stopped` is not `stopped`. */
function stateKey(step: Step | undefined): string {
  return (step?.id.slice(step.scope.length) ?? "").replace("__proto__", "__proto__ ");
}

/** A transition to wherever the pure function stands then. */
function standing(step: StepId): object {
  return { guard: { type: "standsAt", params: { step } }, target: `#${nodeId(step)}`, actions: "record" };
}

function endState(step: StepId): object {
  return {
    id: nodeId(step),
    meta: { step },
    on: {
      acknowledge: { guard: "accepted", actions: "record" },
      "set-up": { guard: "accepted", actions: "record" },
    },
  };
}

function nodeId(id: StepId): string {
  return `step ${id}`;
}

function callAround(procedure: Procedure, step: Step | undefined): StepId | undefined {
  const call = step === undefined || step.scope === "" ? undefined : step.scope.slice(0, -1);
  return call !== undefined && procedure.steps.has(call) ? call : undefined;
}

function stateOf(
  procedure: Procedure,
  step: Step,
  statesIn: (call: StepId) => Record<string, object>,
): object {
  const base = { id: nodeId(step.id), meta: { step: step.id } };
  switch (step.kind) {
    case "call":
      // A call of what is not there leads out at once.
      if (callAround(procedure, procedure.steps.get(step.entry)) !== step.id)
        return { ...base, always: { target: `#${nodeId(step.entry)}` } };
      return { ...base, initial: stateKey(procedure.steps.get(step.entry)), states: statesIn(step.id) };
    case "end":
      if (step.returnsTo === undefined) return endState(step.id);
      return {
        ...base,
        always: returns(procedure, step.returnsTo, step.end === "fixed" ? "fault-found" : step.end),
      };
    default:
      return {
        ...base,
        initial: "ready",
        on: {
          stop: transitions(step, ["stop"]),
          cannot: transitions(step, ["cannot"]),
          specification: { guard: "accepted", actions: "record" },
        },
        states: {
          ready: {
            always: { guard: "prepared", target: "open" },
            on: {
              fact: { guard: "accepted", actions: "record" },
              "set-up": { guard: "accepted", actions: "record" },
              acknowledge: { guard: "accepted", actions: "record" },
            },
          },
          open: { on: { [mainEvent(step)]: transitions(step, [...step.outcomes.keys()]) } },
        },
      };
  }
}

function mainEvent(step: Step): RunEvent["type"] {
  return step.kind === "ask" ? "answer" : step.kind === "measure" ? "reading" : "done";
}

/** A guarded transition for each arm that the outcomes can take. */
function transitions(step: Step, outcomes: readonly string[]): object[] {
  const outgoing = outcomes.flatMap((outcome) => {
    const branch = step.outcomes.get(outcome);
    return branch ? arms(branch) : [];
  });
  const written = outgoing.map(({ goto, ...hop }) => ({
    guard: { type: "takes", params: hop },
    target: `#${nodeId(goto)}`,
    actions: "record",
  }));
  // An outcome that a draft leads nowhere ends unresolved, as in `decideBranch`.
  return [...written, standing(UNRESOLVED)];
}

function returns(procedure: Procedure, call: StepId, outcome: string): object[] {
  const branch = procedure.steps.get(call)?.outcomes.get(outcome);
  return (branch ? arms(branch) : []).map(({ goto, ...hop }) => ({
    guard: { type: "returned", params: hop },
    target: `#${nodeId(goto)}`,
  }));
}

function arms(branch: Branch): Hop[] {
  const { step, outcome } = branch;
  const hops: Hop[] = branch.arms.map((arm, index) => ({ step, outcome, arm: index, goto: arm.goto }));
  if (branch.atMost !== undefined)
    hops.push({ step, outcome, arm: "else", goto: branch.else ?? IMPLIED_ENDS.cannot });
  return hops;
}

function sameHop(a: Omit<Hop, "goto">, b: Omit<Hop, "goto">): boolean {
  return a.step === b.step && a.outcome === b.outcome && a.arm === b.arm;
}

/** `advance` reckoned once for the many guards that ask about the same run and event. */
function rememberLast(procedure: Procedure): (run: Run, event: RunEvent) => Applied {
  let last: { run: Run; event: RunEvent; result: Applied } | undefined;
  return (run, event) => {
    if (last === undefined || last.run !== run || last.event !== event)
      last = { run, event, result: advance(procedure, run, event) };
    return last.result;
  };
}
