/** Whether a question of one text still asks what it asked in another. */
import type { AskStep, Outcome } from "../procedure/model.ts";
import { spread } from "../reasoning/likelihood.ts";

/**
 * False where its words have changed and its evidence has turned with them: “Does it stay dark?” has become “Is it
 * lit?”, and what was a yes is a no. Other words alone, as a spelling put right, ask the same; so do numbers that the
 * author has changed alone.
 */
export function isAskedAlike(ours: AskStep, theirs: AskStep): boolean {
  if (wordsOf(ours) === wordsOf(theirs)) return true;
  const [here, there] = [likeliestOf(ours), likeliestOf(theirs)];
  return [...here].every(([row, outcome]) => (there.get(row) ?? outcome) === outcome);
}

function wordsOf({ ask, say, answers }: AskStep): string {
  return JSON.stringify([ask, say, answers.map(({ id, label }) => [id, label]).toSorted()]);
}

/** By row of evidence, `otherwise` under no id: the outcome that it gives more than half; none where there is none. */
function likeliestOf({ evidence, answers }: AskStep): ReadonlyMap<string, Outcome> {
  if (evidence === undefined) return new Map();
  const outcomes = answers.map(({ id }) => id);
  const rows: (readonly [string, ReadonlyMap<Outcome, number>])[] = [...evidence.rows];
  if (evidence.otherwise !== undefined) rows.push(["", evidence.otherwise]);
  return new Map(
    rows.flatMap(([row, shares]) => {
      const likely = [...spread(shares, outcomes)].find(([, share]) => share > 0.5);
      return likely === undefined ? [] : [[row, likely[0]] as const];
    }),
  );
}
