/** Random procedures, sound in names, cover, reach and loops, as the texts an author would write. */
import fc from "fast-check";
import { stringify } from "yaml";

type Raw = Record<string, unknown>;

/** How a random step comes about; numbers are taken modulo what there is to choose from. */
interface Sketch {
  readonly kind: "ask" | "measure" | "do" | "conclude" | "call";
  readonly targets: readonly number[];
  readonly loops: boolean;
  readonly atMost: number;
  readonly conditional: boolean;
  readonly needs: number;
  readonly without: number;
  readonly caution: boolean;
  readonly wait: boolean;
  readonly cannot: boolean;
}

const sketch: fc.Arbitrary<Sketch> = fc.record({
  kind: fc.constantFrom("ask", "measure", "do", "conclude", "ask", "measure", "call"),
  targets: fc.array(fc.nat(1000), { minLength: 3, maxLength: 4 }),
  loops: fc.boolean(),
  atMost: fc.integer({ min: 1, max: 3 }),
  conditional: fc.boolean(),
  needs: fc.nat(7),
  without: fc.nat(7),
  caution: fc.boolean(),
  wait: fc.boolean(),
  cannot: fc.boolean(),
});

export interface RandomTexts {
  readonly text: string;
  /** The called procedure's text. */
  readonly called: string;
}

/**
 * A procedure `random-one`, its order free in half of them, and the procedure `random-called` that it may call. Where
 * the order is always free, most steps take nothing apart: else hardly anything could be chosen.
 */
export function randomTexts(alwaysFree = false): fc.Arbitrary<RandomTexts> {
  return fc
    .tuple(
      fc.array(sketch, { minLength: 1, maxLength: 9 }),
      fc.array(sketch, { minLength: 1, maxLength: 4 }),
      fc.boolean(),
    )
    .map(([sketches, inner, free]) => ({
      text: stringify({
        ...procedureOf("random-one", alwaysFree ? sketches.map(plainer) : sketches, true),
        "free-order": alwaysFree || free,
      }),
      called: stringify({ ...procedureOf("random-called", inner, false), "free-order": free }),
    }));
}

function plainer(one: Sketch): Sketch {
  return one.atMost === 1 ? one : { ...one, needs: 0, without: 0 };
}

const SET_UPS = ["shield-off", "plug-apart", "key-out"];

function procedureOf(id: string, sketches: readonly Sketch[], calls: boolean): Raw {
  const names = sketches.map((_, index) => (index === 1 ? "constructor" : `step-${index}`));
  const steps: Raw = {};
  for (const [index, one] of sketches.entries()) {
    const later = [...names.slice(index + 1), "to-fixed", "none-found", "handed-on"];
    Object.assign(steps, { [names[index] ?? ""]: stepOf(one, index, names, later, calls) });
  }
  return {
    procedure: id,
    title: `Random ${id}`,
    revision: 1,
    complaint: "It does not work.",
    instruments: {
      meter: {
        title: "Meter",
        accuracy: { voltage: { reading: "0.5 %", counts: 3, resolution: "0.01 V" } },
      },
    },
    cautions: {
      stand: { signal: "warning", hazard: "It can start.", avoid: "Keep clear.", covers: ["rotating"] },
    },
    "set-ups": {
      "shield-off": {
        do: "Shield off.",
        minutes: 3,
        "put-back": { do: "Shield on.", minutes: 2, torque: "9 N.m", cautions: ["stand"] },
      },
      "plug-apart": {
        do: "Plug apart.",
        minutes: 1,
        needs: ["shield-off"],
        cautions: ["stand"],
        "put-back": { do: "Plug in.", minutes: 1 },
      },
      "key-out": { do: "Key out.", minutes: 1, "put-back": "none" },
    },
    facts: { plug: { ask: "Which plug?", choices: { round: "Round", flat: "Flat" } } },
    faults: {
      "part-open": { title: "Part open", prior: 3, repair: "fit-part" },
      "wire-open": { title: "Wire open", prior: 2, repair: "mend-wire" },
      other: { title: "Something else", prior: 1 },
    },
    repairs: {
      "fit-part": {
        minutes: 20,
        needs: ["plug-apart"],
        do: [{ say: "Fit it.", torque: "2.3 N.m", cautions: ["stand"] }],
      },
      "mend-wire": { minutes: 10, do: [{ say: "Mend it." }] },
    },
    start: names[0],
    steps: {
      ...steps,
      "to-fixed": {
        ask: "Does it work now?",
        answers: { yes: { goto: "mended" }, no: { goto: "none-found" } },
      },
      mended: { end: calls ? "fixed" : "no-fault-found" },
      "none-found": { end: "no-fault-found" },
      "handed-on": { end: "referred", say: "Ask the maker." },
    },
  };
}

function stepOf(
  one: Sketch,
  index: number,
  names: readonly string[],
  later: readonly string[],
  calls: boolean,
): Raw {
  // Two times in three to one of the next two steps, so that runs are long.
  const pick = (nth: number) => {
    const target = one.targets[nth % one.targets.length] ?? 0;
    return later[target % 3 === 0 ? target % later.length : target % Math.min(2, later.length)];
  };
  const plain = (nth: number): Raw =>
    one.conditional && nth === 0
      ? // biome-ignore lint/suspicious/noThenProperty: the format's own word
        { then: [{ if: 'facts.plug == "round"', goto: pick(0) }, { goto: pick(1) }] }
      : { goto: pick(nth) };
  const back: Raw = { goto: names[index], "at-most": one.atMost, else: pick(2) };
  const common: Raw = {
    needs: SET_UPS.filter((_, bit) => (one.needs >> bit) & 1),
    without: SET_UPS.filter((_, bit) => (one.without >> bit) & 1 && !((one.needs >> bit) & 1) && bit !== 0),
    cautions: one.caution ? ["stand"] : [],
  };
  const waited: Raw = one.wait ? { wait: "5 min" } : {};
  const cannot: Raw = one.cannot ? { cannot: { goto: pick(1) } } : {};
  switch (one.kind) {
    case "ask":
      return {
        ask: "Does it click?",
        ...common,
        ...waited,
        ...cannot,
        answers: { yes: plain(0), no: { goto: pick(1) }, ...(one.loops ? { again: back } : {}) },
        evidence: { "part-open": { no: 0.9 }, otherwise: { yes: 0.6 } },
      };
    case "measure":
      return {
        measure: "voltage",
        say: "Red lead to the pin.",
        unit: "V",
        with: "meter",
        ...common,
        ...waited,
        ...cannot,
        bands: {
          low: { under: "1 V", ...plain(0) },
          high: { from: "1 V", goto: pick(1) },
        },
        ...(one.loops ? { borderline: { goto: names[index], "at-most": one.atMost } } : {}),
        evidence: { "wire-open": { low: 0.95 }, otherwise: { high: 0.9 } },
      };
    case "call":
      if (!calls) return { do: "Look at it.", ...common, done: plain(0) };
      return {
        call: "random-called",
        "set-ups": { "shield-off": "shield-off" },
        returns: {
          "fault-found": { goto: pick(0) },
          "no-fault-found": { goto: pick(1) },
          ...(one.loops ? { referred: { goto: pick(2) } } : {}),
        },
      };
    case "do":
      return { do: "Switch it on.", ...common, ...cannot, limit: "5 s", done: plain(0) };
    case "conclude":
      return one.loops
        ? { conclude: ["part-open", "wire-open"], verify: calls ? "to-fixed" : pick(0) }
        : { conclude: "other", goto: "handed-on" };
  }
}
