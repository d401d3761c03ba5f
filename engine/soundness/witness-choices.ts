/** Which choices of facts a witness is looked for with. */
import type { Expression, FactValue } from "../procedure/model.ts";
import type { Analysis } from "./analysis.ts";

type Told = ReadonlyMap<string, FactValue>;

/** What can be chosen for the facts that conditions on the way use, as on a first walk first. */
export function choicesOn(
  { procedure, flow }: Analysis,
  way: readonly number[],
  facts: Told,
): readonly ReadonlyMap<string, FactValue>[] {
  const branches = new Set(way.flatMap((id) => flow.edges[id]?.branch ?? []));
  const conditions = [...branches].flatMap(({ arms }) => arms.flatMap((arm) => arm.if ?? []));
  const choices = new Map(
    [...new Set(conditions.flatMap((each) => each.facts))].flatMap((id) => {
      const fact = procedure.facts.get(id);
      return fact?.given === undefined ? [[id, (fact?.choices ?? []).map((each) => each.id)] as const] : [];
    }),
  );
  return chosenFrom(choices, facts) ?? chosenFrom(tellingOnes(choices, conditions, facts), facts) ?? [facts];
}

/**
 * Above so many combinations of choices, those that no condition names count as one; then only the first is looked
 * at.
 */
const MOST_CHOICES = 64;

/** Undefined above {@link MOST_CHOICES}. */
function chosenFrom(
  choices: ReadonlyMap<string, readonly string[]>,
  facts: Told,
): readonly ReadonlyMap<string, FactValue>[] | undefined {
  let chosen: readonly ReadonlyMap<string, FactValue>[] = [facts];
  for (const [id, all] of choices) {
    const others = all.filter((each) => each !== facts.get(id));
    if (chosen.length * (others.length + 1) > MOST_CHOICES) return undefined;
    const more = others.flatMap((each) => chosen.map((before) => new Map([...before, [id, each]])));
    chosen = [...chosen, ...more];
  }
  return chosen;
}

/** The choices that the conditions on a fact name, and one of the others: the first walk's where it is one. */
function tellingOnes(
  choices: ReadonlyMap<string, readonly string[]>,
  conditions: readonly Expression[],
  facts: Told,
): ReadonlyMap<string, readonly string[]> {
  return new Map(
    [...choices].map(([id, all]) => {
      const texts = conditions.flatMap((each) => (each.facts.includes(id) ? each.text : []));
      const isNamed = (choice: string) =>
        texts.some((text) => text.includes(`"${choice}"`) || text.includes(`'${choice}'`));
      const others = all.filter((each) => !isNamed(each));
      const other = others.find((each) => each === facts.get(id)) ?? others[0];
      return [id, all.filter((each) => isNamed(each) || each === other)];
    }),
  );
}
