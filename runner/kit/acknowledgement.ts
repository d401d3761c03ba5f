import type { Caution } from "../../engine/procedure/model.ts";
import { lowerFirst } from "./lower-first.ts";

const LONGEST = 84;
const COUNTS = ["none", "one", "both", "all three", "all four", "all five"];

/** What the acknowledging button says was done: the cautions' own words, else that they are kept to. */
export function acknowledgement(cautions: readonly Caution[]): string {
  const words = cautions.flatMap((caution) => caution.acknowledge ?? []);
  const joined = words.map((word, index) => (index === 0 ? word : lowerFirst(word))).join(", ");
  if (words.length === cautions.length && joined.length <= LONGEST) return joined;
  const [only] = cautions;
  if (cautions.length === 1 && only !== undefined) {
    const avoid = lowerFirst(only.acknowledge ?? only.avoid).replace(/[.;].*$/s, "");
    return avoid.length <= LONGEST ? `I keep to it: ${avoid}` : "I have read it and keep to it";
  }
  return `I keep to ${COUNTS[cautions.length] ?? `all ${cautions.length}`}`;
}
