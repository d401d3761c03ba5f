/** The time of a run that walks a way: by nominal minutes or quicker, and longer where a condition asks for that. */
import { own } from "../machine/own.ts";
import type { Run } from "../machine/run.ts";
import type { Branch, Step } from "../procedure/model.ts";

/** How time goes on a way; all in ms. */
export interface Clock {
  /** Work takes no time, only waits do: nobody works quicker. Else work takes its nominal minutes. */
  readonly quick: boolean;
  /** What was waited before. */
  readonly waited: number;
  /** What is taken beyond that, below 0 where it is less. */
  readonly late: number;
}

/** Minutes as the whole milliseconds of a run's clock. */
function onClock(minutes: number): number {
  return Math.round(minutes * 60_000);
}

/** When a run that stands so is by its clock. */
export function timeOf({ minutes }: Pick<Run, "minutes">, { quick, waited, late }: Clock): number {
  return (quick ? waited : onClock(minutes)) + late;
}

/** The clock once a step's wait is over. */
export function waitedAt(clock: Clock, step: Step): Clock {
  const minutes = waitOf(step);
  return minutes === 0 ? clock : { ...clock, waited: clock.waited + onClock(minutes) };
}

function waitOf(step: Step): number {
  return "waitMinutes" in step ? (step.waitMinutes ?? 0) : 0;
}

/** When the reading of a step is judged that a run takes next. */
export function judgedAt(run: Run, step: Step, clock: Clock): number {
  const then = run.minutes + step.minutes + waitOf(step);
  return timeOf({ minutes: then }, waitedAt(clock, step));
}

/** Whether a branch goes by the time. */
export function asksTime({ arms }: Branch): boolean {
  return arms.some((arm) => (arm.if?.elapsed.length ?? 0) > 0);
}

/**
 * Other moments at which to take a branch that goes by the time, as ms beyond the one tried: later and later, then
 * such that the times asked for are numbers that its conditions name, or lie between them. None before `earliest`.
 */
export function otherMoments(
  { entered }: Run,
  branch: Branch,
  tried: number,
  earliest: number,
): readonly number[] {
  const conditions = branch.arms.flatMap((arm) => arm.if ?? []);
  const named = conditions.flatMap(({ text }) => (text.match(/\d+(?:\.\d+)?/g) ?? []).map(Number));
  const numbers = [...new Set([0, ...named])].sort((a, b) => a - b).slice(0, MOST_NUMBERS);
  const wanted = numbers.flatMap((number, at) => [number, (number + (numbers[at + 1] ?? number + 1)) / 2]);
  const since = new Set(conditions.flatMap((each) => each.elapsed.flatMap((id) => own(entered, id) ?? [])));
  const moments = [...since].flatMap((from) => wanted.map((minutes) => from + onClock(minutes)));
  return [
    ...LONGER.map(onClock),
    ...moments.filter((moment) => moment >= earliest).map((moment) => moment - tried),
  ];
}

/** More numbers of one branch's conditions are not tried. */
const MOST_NUMBERS = 30;

/** So many minutes more are tried first. */
const LONGER: readonly number[] = [0, 1, 2, 3, 4, 5, 6].flatMap((power) =>
  [1, 2, 5].map((digit) => digit * 10 ** power),
);
