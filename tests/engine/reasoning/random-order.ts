/** Texts of small procedures with everything that keeps a step in its place; the same for the same number. */

/** A row of tests, a fault each, with acts, questions, facts, readings, set-ups and ends of their own between. */
export function randomOrder(seed: number): string {
  const random = generator(seed);
  const below = (many: number) => Math.floor(random() * many);
  const chance = (p: number) => random() < p;
  const pick = <T>(from: readonly T[]): T => from[below(from.length)] as T;
  const faults = Array.from({ length: 2 + below(4) }, (_, number) => `f${number}`);
  const setUps = Array.from({ length: below(3) }, (_, number) => `s${number}`);
  const tested = [...faults].sort(() => random() - 0.5);
  if (chance(0.3)) tested.push(pick(faults));
  const names = tested.map((fault, place) => `t${place}-${fault}`);
  const leads = names.map(() => pick(["", "", "", "", "", "d", "q", "dq"]));
  const entries = names.map((name, place) => (leads[place] === "" ? name : `${leads[place]?.[0]}-${name}`));
  const facts = chance(0.2);

  const steps = tested.flatMap((fault, place) => {
    const name = names[place] ?? "";
    const lead = leads[place] ?? "";
    const next = entries[place + 1] ?? "give-up";
    const other = pick([next, next, next, next, entries[place + 2] ?? next, "give-up", "danger"]);
    const measures = chance(0.25);
    const lines: string[] = [];
    if (lead.startsWith("d"))
      lines.push(
        `  d-${name}: { do: Do it., minutes: ${below(6)}, done: { goto: ${lead === "dq" ? `q-${name}` : name} } }`,
      );
    if (lead.includes("q"))
      lines.push(
        `  q-${name}: { ask: Safe?, minutes: ${below(4)}, answers: { sure: { goto: ${name} }, not: { goto: give-up } } }`,
      );
    lines.push(
      `  ${name}:`,
      measures ? "    measure: voltage\n    unit: V\n    say: Read." : "    ask: Well?",
    );
    lines.push(`    minutes: ${below(20)}`);
    if (measures && place > 0 && chance(0.5))
      lines.push(`    value: 'readings["${names[below(place)]}"] - reading'`);
    if (chance(0.02)) lines.push("    hazards: [electric-high]", "    cautions: [high]");
    const needs = setUps.filter(() => chance(0.35));
    if (needs.length > 0) lines.push(`    needs: [${needs.join(", ")}]`);
    if (place > 0 && chance(0.15)) lines.push(`    after: [${names[below(place)]}]`);
    const good =
      facts && !measures && other !== next
        ? `{ then: [ { if: "facts.kind == 'old'", goto: ${next} }, { goto: ${other} } ] }`
        : `{ goto: ${next} }`;
    lines.push(
      measures
        ? `    bands: { bad: { under: 5 V, goto: c-${fault} }, good: { from: 5 V, under: 9 V, goto: ${next} }, odd: { from: 9 V, goto: ${other} } }`
        : `    answers: { bad: { goto: c-${fault} }, good: ${good}, odd: { goto: ${other} } }`,
      `    evidence: { ${fault}: { bad: ${pick([0.9, 0.95, 0.98, 1])} }, otherwise: { good: ${pick([0.9, 0.95, 0.98])}, odd: 0.01 } }`,
    );
    return lines;
  });
  const concluded = faults.map((fault, number) => {
    const both = chance(0.15) ? `[${fault}, ${faults[(number + 1) % faults.length]}]` : fault;
    return `  c-${fault}: { conclude: ${both}, verify: runs }`;
  });
  return [
    "procedure: random-order",
    "title: Random order",
    "revision: 1",
    "complaint: It does not run.",
    `certainty: ${pick([0.7, 0.8, 0.9])}`,
    "cautions:",
    "  high: { signal: danger, hazard: High voltage., consequence: It kills., avoid: Keep away., covers: [electric-high] }",
    ...(facts ? ["facts: { kind: { ask: Which?, choices: { old: Old, new: New } } }"] : []),
    ...(setUps.length > 0 ? ["set-ups:"] : []),
    ...setUps.map(
      (id) =>
        `  ${id}: { do: Make it., minutes: ${below(10)}, put-back: { do: Undo it., minutes: ${below(5)} } }`,
    ),
    "faults:",
    ...faults.map((fault) => `  ${fault}: { title: Fault, prior: ${1 + below(9)}, repair: r-${fault} }`),
    "repairs:",
    ...faults.map((fault) => `  r-${fault}: { minutes: 5, do: [ { say: Mend it. } ] }`),
    `start: ${entries[0]}`,
    "steps:",
    ...steps,
    ...concluded,
    "  runs: { ask: Does it run?, answers: { runs: { goto: mended }, not: { goto: give-up } } }",
    "  mended: { end: fixed }",
    "  give-up: { end: referred }",
    "  danger: { end: referred }",
    "",
  ].join("\n");
}

/** Linear congruential, Numerical Recipes' constants; the first draws of near seeds are alike and left out. */
function generator(seed: number): () => number {
  let state = seed >>> 0;
  const next = () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
  for (let draw = 0; draw < 5; draw += 1) next();
  return next;
}
