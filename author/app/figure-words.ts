import type { Figures } from "../../engine/soundness/figures.ts";

/** Returns how a procedure comes out, in a line: `14 steps, 212 ways through, 31 min on average`. */
export function figureWords({ steps, paths, expectedMinutes }: Figures): string {
  const parts = [`${steps} ${steps === 1 ? "step" : "steps"}`];
  if (paths !== null) parts.push(waysWords(paths));
  if (expectedMinutes !== null) parts.push(`${Math.round(expectedMinutes)} min on average`);
  return parts.join(", ");
}

/** Exact up to a million; beyond that the size is all that is of use. */
function waysWords(paths: string): string {
  if (paths === "1") return "1 way through";
  if (paths.length > 7) return `about 10^${paths.length - 1} ways through`;
  return `${paths.replace(/\B(?=(\d{3})+$)/g, ",")} ways through`;
}
