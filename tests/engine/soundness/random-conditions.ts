/** Random procedures that only go forward, with conditions on readings, measured facts, choices and codes. */
import fc from "fast-check";

/** None of them a limit: a reading at one is too close to call, and the run then shows another probability. */
const number = fc.constantFrom("2.0", "3.0", "4.5", "7.0", "12.0");
const word = fc.constantFrom("<", ">");
const proof = fc.constantFrom("0.9", "0.99");

/** Names with numbers come out of these by what was measured before. */
type OfReadings = (names: readonly string[]) => string;

const condition: fc.Arbitrary<OfReadings> = fc
  .tuple(fc.nat(8), fc.nat(20), fc.nat(20), number, word)
  .map(([kind, first, second, than, how]) => (names) => {
    const one = names[first % names.length] ?? "facts.warm";
    const other = names[second % names.length] ?? "facts.warm";
    switch (kind) {
      case 0:
        return `facts.warm ${how} ${(Number(than) * 2).toFixed(1)}`;
      case 1:
        return `'P1' in facts.codes`;
      case 2:
        return `facts.kind == 'small'`;
      case 3:
        return `size(facts.codes) > 1`;
      case 4:
        return one === other ? `2.0 * ${one} ${how} ${than}` : `${one} + ${other} ${how} ${than}`;
      case 5:
        return `${one} * ${other} ${how} 30.0`;
      case 6:
        return `facts.kind == 'large' && ${one} ${how} ${than}`;
      default:
        return `${one} ${how} ${than}`;
    }
  });

const way = fc.record({
  condition: fc.option(condition),
  to: fc.tuple(fc.nat(100), fc.nat(100)),
});

const step = fc.record({
  measures: fc.boolean(),
  table: fc.boolean(),
  borderline: fc.option(fc.nat(100), { freq: 3 }),
  ways: fc.tuple(way, way),
  evidence: fc.option(fc.tuple(proof, proof), { freq: 4 }),
});

type Way = typeof way extends fc.Arbitrary<infer T> ? T : never;

const TABLE = "{ by: facts.warm, table: [ [0 degC, 4 V], [20 degC, 6 V] ] }";

export const randomConditions: fc.Arbitrary<string> = fc
  .array(step, { minLength: 3, maxLength: 7 })
  .map((steps) => {
    const measured: string[] = [];
    const lines = steps.map((one, at) => {
      const later = [...steps.keys()].slice(at + 1).map((each) => `step${each}`);
      const targets = [...later, "refer", ...(at > 0 ? ["worn-bad", "other-bad"] : [])];
      // Half of them to the next one, so that ways are long.
      const target = (pick: number) => targets[pick % 2 === 0 ? 0 : (pick >> 1) % targets.length] ?? "refer";
      const goes = ({ condition: when, to }: Way) =>
        when === null
          ? `goto: ${target(to[0])}`
          : `then: [ { if: "${when(measured)}", goto: ${target(to[0])} }, { goto: ${target(to[1])} } ]`;
      const says = (yes: string, no: string) =>
        one.evidence === null
          ? ""
          : `    evidence: { worn: { ${yes}: ${one.evidence[0]} }, otherwise: { ${no}: ${one.evidence[1]} } }\n`;
      if (!one.measures)
        return `  step${at}:
    ask: Is it so?
    answers:
      "yes": { ${goes(one.ways[0])} }
      "no": { ${goes(one.ways[1])} }
${says('"yes"', '"no"')}`;
      measured.push(`readings.step${at}`);
      const limit = one.table ? TABLE : "5 V";
      return `  step${at}:
    measure: voltage
    unit: V
    with: meter
    bands:
      low: { under: ${limit}, ${goes(one.ways[0])} }
      high: { from: ${limit}, ${goes(one.ways[1])} }
${one.borderline === null ? "" : `    borderline: { goto: ${target(one.borderline)} }\n`}${says("high", "low")}`;
    });
    return `procedure: forward
title: It goes forward
revision: 1
complaint: It stays off.
instruments:
  meter: { title: Meter, accuracy: { voltage: { reading: 0.5 %, counts: 3, resolution: 0.01 V } } }
facts:
  kind: { ask: Which?, choices: { small: Small, large: Large } }
  warm: { measure: temperature, unit: degC }
faults:
  worn: { title: Worn, prior: 3 }
  other: { title: Something else, prior: 3 }
start: step0
steps:
${lines.join("")}  worn-bad: { conclude: worn, goto: refer }
  other-bad: { conclude: other, goto: refer }
  refer: { end: referred }
`;
  });
