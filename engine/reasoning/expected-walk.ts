/**
 * Every way that a rehearsed run with one fault can go, as a graph of states: where the walk stands, and of its past
 * what can still matter. The same draws as in `rehearse`, each with its chance in place of a number.
 */
import { type BulkProcedure, CONCLUDES } from "./bulk-procedure.ts";
import { type ArmChooser, blankWalk, closedMinutes, openWalk, stepWalk } from "./bulk-walk.ts";
import type { FaultModel } from "./fault-model.ts";
import { costsOf, ISOLATED, mayBeBorderline, UNRESOLVED, WRONG } from "./rehearse.ts";
import type { ReadScene, RehearsedArms } from "./rehearsed-arms.ts";
import { readingChances } from "./rehearsed-reading.ts";
import type { StillToCome } from "./still-to-come.ts";

/** One way on from a state. */
export interface Way {
  readonly chance: number;
  /** Number of the state it leads to; -1 where the run is over. */
  readonly to: number;
  /** 0 to 2 in the order of `ENDINGS` where the run is over. */
  readonly ending: number;
  readonly minutes: number;
  readonly cost: number;
  /** Rows taken, as in the counts of a rehearsal, in order. */
  readonly rows: readonly number[];
  /** Those of them that the run took for the first time. */
  readonly first: readonly number[];
}

interface State {
  readonly step: number;
  readonly made: number;
  /** What was drawn, taken or counted before, by a number for each; see `remembered`. */
  readonly memory: ReadonlyMap<number, number>;
}

export interface Walked {
  readonly bulk: BulkProcedure;
  readonly model: FaultModel;
  readonly arms: RehearsedArms;
  readonly ahead: (step: number) => StillToCome;
  readonly slips: number;
}

interface Draw {
  readonly about: number;
  readonly value: number;
  readonly of: number;
}

/** The ways out of each state, state 0 being before the first step; undefined above so many states. */
export function waysOf(walked: Walked, fault: number, most: number): readonly (readonly Way[])[] | undefined {
  const { bulk, model, arms, ahead, slips } = walked;
  const walk = blankWalk(bulk);
  const costs = costsOf(bulk);
  const branches = bulk.branches.length;
  // Numbers of what is remembered: bounds used, rows taken, arms drawn, facts drawn, answers drawn.
  const forRow = branches;
  const forArm = forRow + 2 * branches;
  const forFact = forArm + branches;
  const forAnswer = forFact + arms.facts.length;

  const states: State[] = [];
  const numbers = new Map<string, number>();
  const ways: Way[][] = [[]];
  const factsAhead = aheadOf(ahead, (branch) => arms.factsOf(branch));
  const readingsAhead = aheadOf(ahead, (branch) => arms.readingsOf(branch));
  const matters = (step: number, about: number): boolean => {
    const coming = ahead(step);
    if (about < forRow) return coming.branches.has(about);
    if (about < forArm) return coming.branches.has((about - forRow) >> 1);
    if (about < forFact) return coming.branches.has(about - forArm);
    if (about < forAnswer) return factsAhead(step).has(about - forFact);
    return coming.steps.has(about - forAnswer) || readingsAhead(step).has(about - forAnswer);
  };
  const numberOf = (step: number, made: number, past: ReadonlyMap<number, number>): number => {
    const memory = [...past].filter(([about]) => matters(step, about)).sort(([a], [b]) => a - b);
    const key = JSON.stringify([step, made, memory]);
    const known = numbers.get(key);
    if (known !== undefined) return known;
    states.push({ step, made, memory: new Map(memory) });
    numbers.set(key, states.length);
    return states.length;
  };

  let draws: Draw[] = [];
  let asked = 0;
  let memory: ReadonlyMap<number, number> = new Map();
  /** A number below `of`: remembered, asked for already, or the next in turn. */
  const draw = (about: number, of: number): number => {
    const before = memory.get(about) ?? draws.slice(0, asked).find((one) => one.about === about)?.value;
    if (before !== undefined) return before;
    if (asked === draws.length) draws.push({ about, value: 0, of });
    asked += 1;
    return draws[asked - 1]?.value ?? 0;
  };
  let answering = -1;
  const nothing = () => undefined;
  const scene: ReadScene = {
    reading: nothing,
    value: nothing,
    taken: (id) => {
      const at = bulk.indexOf.get(id) ?? -1;
      return at === answering || memory.has(forAnswer + at);
    },
  };
  const chooseArm: ArmChooser = (branch) => {
    const arm = arms.arm(branch, (fact) => draw(forFact + fact, arms.facts[fact]?.values.length ?? 1), scene);
    if (arm !== "open") return arm;
    return draw(forArm + branch, (bulk.firstArm[branch + 1] ?? 0) - (bulk.firstArm[branch] ?? 0));
  };
  const nextDraws = (): boolean => {
    for (let last = draws.pop(); last !== undefined; last = draws.pop())
      if (last.value + 1 < last.of) {
        draws.push({ ...last, value: last.value + 1 });
        return true;
      }
    return false;
  };
  /** Goes on by every combination of what is drawn on the way, and notes where each leads. */
  const goOn = (
    from: number,
    chance: number,
    answer: readonly [number, number] | undefined,
    go: () => void,
  ) => {
    draws = [];
    do {
      asked = 0;
      go();
      const past = new Map(memory);
      if (answer !== undefined) past.set(...answer);
      for (const one of draws) past.set(one.about, one.value);
      const rows = from === 0 ? [] : walk.hops.map((hop) => (hop < 0 ? 2 * ~hop + 1 : 2 * hop));
      const first = [...new Set(rows)].filter((row) => !past.has(forRow + row));
      for (const row of rows) past.set(forRow + row, 1);
      for (const branch of walk.counted) past.set(branch, walk.taken[branch] ?? 0);
      const concluded = walk.end < 0 && bulk.kind[walk.step] === CONCLUDES;
      const over = concluded || walk.end >= 0;
      const right = bulk.concluded[walk.step]?.includes(fault) === true;
      ways[from]?.push({
        chance: draws.reduce((product, one) => product / one.of, chance),
        to: over ? -1 : numberOf(walk.step, walk.made, past),
        ending: !concluded ? UNRESOLVED : right ? ISOLATED : WRONG,
        minutes: over ? closedMinutes(bulk, walk) : walk.minutes,
        cost: concluded ? (costs[walk.step] ?? 0) / 100 : 0,
        rows,
        first,
      });
    } while (nextDraws());
  };
  const stand = (state: State): void => {
    walk.step = state.step;
    walk.made = state.made;
    walk.minutes = 0;
    walk.end = -1;
    for (const branch of walk.counted) walk.taken[branch] = 0;
    walk.counted.length = 0;
    for (const [about, value] of state.memory)
      if (about < forRow) {
        walk.taken[about] = value;
        walk.counted.push(about);
      }
  };
  const answers = answersOf(walked, fault);
  const leave = (number: number, state: State): void => {
    memory = state.memory;
    answering = state.step;
    const about = forAnswer + state.step;
    const given = memory.get(about);
    for (const [index, answer] of answers(state.step).entries()) {
      if (given !== undefined && given !== index) continue;
      const chance = given === undefined ? answer.chance : 1;
      stand(state);
      const how = model.reads[fault]?.[state.step];
      const outcome =
        answer.tooClose && how !== undefined && mayBeBorderline(bulk, walk, state.step, how)
          ? how.borderline
          : answer.outcome;
      for (const [said, share] of withSlips(model.telling[state.step] ?? [], outcome, slips))
        goOn(number, chance * share, [about, index], () => {
          stand(state);
          stepWalk(bulk, walk, said, chooseArm);
        });
    }
  };

  goOn(0, 1, undefined, () => openWalk(bulk, walk, chooseArm));
  for (let number = 1; number <= states.length; number += 1) {
    if (number > most) return undefined;
    const state = states[number - 1];
    ways.push([]);
    if (state !== undefined) leave(number, state);
  }
  return ways;
}

/** What conditions on branches hang on that may be taken from a step on. */
function aheadOf(
  ahead: Walked["ahead"],
  of: (branch: number) => readonly number[],
): (step: number) => ReadonlySet<number> {
  const known = new Map<number, ReadonlySet<number>>();
  return (step) => {
    const seen = known.get(step);
    if (seen !== undefined) return seen;
    const found = new Set([...ahead(step).branches].flatMap((branch) => of(branch)));
    known.set(step, found);
    return found;
  };
}

interface Answer {
  readonly outcome: number;
  readonly tooClose: boolean;
  readonly chance: number;
}

/** The answers of each step under a fault, with their chances; -1 is an outcome that is not written. */
function answersOf({ bulk, model }: Walked, fault: number): (step: number) => readonly Answer[] {
  const known = new Map<number, readonly Answer[]>();
  return (step) => {
    const seen = known.get(step);
    if (seen !== undefined) return seen;
    const how = model.reads[fault]?.[step];
    const sums = model.rows[fault]?.[step];
    const answers =
      how !== undefined
        ? readingChances(how)
        : sums === undefined
          ? [{ outcome: -1, tooClose: false, chance: 1 }]
          : [...(bulk.outcomes[step] ?? [])].flatMap((_, outcome) => {
              const chance = (sums[outcome] ?? 1) - (outcome > 0 ? (sums[outcome - 1] ?? 0) : 0);
              return chance > 0 ? [{ outcome, tooClose: false, chance }] : [];
            });
    known.set(step, answers);
    return answers;
  };
}

/** What is said for an outcome, with its share: itself, or by a slip another that the step tells apart. */
function withSlips(
  telling: readonly number[],
  outcome: number,
  slips: number,
): readonly (readonly [number, number])[] {
  const others = telling.filter((one) => one !== outcome);
  if (!(slips > 0) || others.length === 0) return [[outcome, 1]];
  const all = others.map((other) => [other, slips / others.length] as const);
  return slips < 1 ? [[outcome, 1 - slips], ...all] : all;
}
