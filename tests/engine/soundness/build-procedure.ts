/** A procedure in a few words, for tests of rooms that read linked procedures. */
import type {
  Band,
  Branch,
  Caution,
  ConcludeStep,
  EndWord,
  Evidence,
  Fact,
  Fault,
  Hazard,
  Limit,
  Limits,
  NodePath,
  Procedure,
  Repair,
  SetUp,
  Specification,
  Step,
} from "../../../engine/procedure/model.ts";
import type { Quantity } from "../../../engine/quantity/quantity.ts";

export type Way =
  | string
  | {
      readonly goto?: string;
      readonly arms?: readonly (readonly [
        (
          | string
          | {
              readonly text: string;
              readonly facts?: readonly string[];
              readonly readings?: readonly string[];
              readonly elapsed?: readonly string[];
            }
          | undefined
        ),
        string,
      ])[];
      readonly atMost?: number;
      readonly else?: string;
    };

export function nodeAt(...path: (string | number)[]): NodePath {
  return { file: "test.yaml", path };
}

function branch(step: string, outcome: string, way: Way, implied = false): Branch {
  const {
    goto,
    arms: several,
    atMost,
    else: after,
  } = typeof way === "string" ? ({ goto: way } as Exclude<Way, string>) : way;
  const node = nodeAt("steps", step, outcome);
  const arms = several
    ? several.map(([condition, target], index) => ({
        goto: target,
        node: nodeAt("steps", step, outcome, "then", index),
        ...(condition === undefined
          ? {}
          : {
              if: {
                scope: "",
                facts: [],
                readings: [],
                elapsed: [],
                node,
                ...(typeof condition === "string" ? { text: condition } : condition),
              },
            }),
      }))
    : [{ goto: goto ?? "", node }];
  return {
    step,
    outcome,
    arms,
    implied,
    node,
    ...(atMost === undefined ? {} : { atMost }),
    ...(after === undefined ? {} : { else: after }),
  };
}

function quantity(text: string): Quantity {
  const [value, unit] = text.split(" ");
  return { value: Number(value), unit: unit ?? "" };
}

function limit(text: string): Limit {
  const cited = /^([a-z-]+)\.(from|to|under|over)$/.exec(text);
  if (cited?.[1] && cited[2]) return { kind: "cited", specification: cited[1], end: cited[2] as "from" };
  return { kind: "fixed", quantity: quantity(text) };
}

/** `from 1 V, under spec.from` */
function limits(text: string): Limits {
  const found: { low?: Limits["low"]; high?: Limits["high"] } = {};
  for (const part of text
    .split(",")
    .map((each) => each.trim())
    .filter(Boolean)) {
    const word = part.slice(0, part.indexOf(" "));
    const end = { limit: limit(part.slice(word.length + 1)), included: word === "from" || word === "to" };
    if (word === "from" || word === "over") found.low = end;
    else found.high = end;
  }
  return found as Limits;
}

export function evidence(rows: Readonly<Record<string, Readonly<Record<string, number>>>>): Evidence {
  const entries = Object.entries(rows).map(([id, row]) => [id, new Map(Object.entries(row))] as const);
  const otherwise = entries.find(([id]) => id === "otherwise")?.[1];
  return {
    rows: new Map(entries.filter(([id]) => id !== "otherwise")),
    reads: new Map(),
    node: nodeAt("evidence"),
    ...(otherwise ? { otherwise } : {}),
  };
}

type Extra = Partial<{
  title: string;
  minutes: number;
  needs: string[];
  without: string[];
  cautions: string[];
  hazards: Hazard[];
  facts: string[];
  after: string[];
  evidence: Evidence;
  scope: string;
  cannot: Way;
}>;

function base(id: string, ways: Readonly<Record<string, Way>>, extra: Extra, implied: boolean) {
  const { cannot, ...rest } = extra;
  const outcomes = new Map(Object.entries(ways).map(([outcome, way]) => [outcome, branch(id, outcome, way)]));
  if (implied) {
    outcomes.set("cannot", branch(id, "cannot", cannot ?? "end/unresolved", cannot === undefined));
    outcomes.set("stop", branch(id, "stop", "end/stopped", true));
  }
  return {
    id,
    scope: "",
    title: id,
    minutes: 1,
    needs: [],
    without: [],
    cautions: [],
    hazards: [],
    tools: [],
    facts: [],
    specifications: [],
    after: [],
    outcomes,
    node: nodeAt("steps", id),
    ...rest,
  };
}

export function ask(id: string, ways: Readonly<Record<string, Way>>, extra: Extra = {}): Step {
  return {
    ...base(id, ways, extra, true),
    kind: "ask",
    ask: `${id}?`,
    answers: Object.keys(ways).map((answer) => ({ id: answer, label: answer })),
  };
}

/** Bands as `{ dead: ["under 1 V", "fuse"] }`, in volts. */
export function measure(
  id: string,
  bands: Readonly<Record<string, readonly [string, Way]>>,
  extra: Extra & { borderline?: Way; unit?: string; readingUnit?: string; instrument?: string } = {},
): Step {
  const { borderline, unit = "V", readingUnit = unit, instrument, ...rest } = extra;
  const ways: Record<string, Way> = Object.fromEntries(
    Object.entries(bands).map(([band, [, way]]) => [band, way]),
  );
  if (borderline !== undefined) ways.borderline = borderline;
  return {
    ...base(id, ways, rest, true),
    kind: "measure",
    quantity: "voltage",
    unit,
    readingUnit,
    ...(instrument === undefined ? {} : { instrument }),
    judged: {
      by: "bands",
      bands: Object.entries(bands).map(
        ([band, [text]]): Band => ({
          id: band,
          label: band,
          node: nodeAt("steps", id, "bands", band),
          ...limits(text),
        }),
      ),
    },
  };
}

export function measureBy(
  id: string,
  specification: string,
  ways: Readonly<Record<string, Way>>,
  extra: Extra = {},
): Step {
  return {
    ...base(id, ways, { ...extra }, true),
    specifications: [specification],
    kind: "measure",
    quantity: "voltage",
    unit: "V",
    readingUnit: "V",
    judged: { by: "specification", specification },
  };
}

export function act(id: string, goto: Way, extra: Extra = {}): Step {
  return { ...base(id, { done: goto }, extra, true), kind: "do", do: id };
}

/** With `verify` a repair is made, else the conclusion goes on to a referral. */
export function conclude(
  id: string,
  faults: string | readonly string[],
  to: { readonly verify: string; readonly repairs?: readonly string[] } | { readonly goto: string },
  extra: Extra = {},
): ConcludeStep {
  const verify = "verify" in to ? to.verify : undefined;
  return {
    ...base(
      id,
      verify === undefined ? { concluded: "goto" in to ? to.goto : "" } : { repaired: verify },
      extra,
      false,
    ),
    kind: "conclude",
    faults: typeof faults === "string" ? [faults] : faults,
    repairs: "repairs" in to ? (to.repairs ?? []) : [],
    ...(verify === undefined ? {} : { verify }),
  };
}

export function end(id: string, word: EndWord, returnsTo?: string): Step {
  return {
    ...base(id, {}, {}, false),
    kind: "end",
    end: word,
    ...(returnsTo === undefined ? {} : { returnsTo }),
  };
}

export function call(id: string, entry: string, returns: Readonly<Record<string, Way>>): Step {
  return { ...base(id, returns, {}, false), kind: "call", procedure: "called", entry };
}

export function caution(id: string, covers: readonly Hazard[]): Caution {
  return { id, signal: "warning", hazard: id, avoid: id, covers, node: nodeAt("cautions", id) };
}

export function setUp(id: string, extra: Partial<SetUp> = {}): SetUp {
  return {
    id,
    title: id,
    do: id,
    minutes: 5,
    needs: [],
    without: [],
    cautions: [],
    hazards: [],
    tools: [],
    putBack: { do: `${id} back`, minutes: 2, cautions: [] },
    node: nodeAt("set-ups", id),
    ...extra,
  };
}

export function repair(id: string, extra: Partial<Repair> = {}): Repair {
  return {
    id,
    title: id,
    minutes: 10,
    parts: [],
    needs: [],
    without: [],
    tools: [],
    cautions: [],
    hazards: [],
    do: [],
    node: nodeAt("repairs", id),
    ...extra,
  };
}

export function specification(id: string, text: string, extra: Partial<Specification> = {}): Specification {
  return { id, title: id, given: "procedure", node: nodeAt("specifications", id), ...limits(text), ...extra };
}

export function fact(id: string, choices: readonly string[], extra: Partial<Fact> = {}): Fact {
  return {
    id,
    title: id,
    ask: `${id}?`,
    choices: choices.map((choice) => ({ id: choice, label: choice })),
    list: false,
    node: nodeAt("facts", id),
    ...extra,
  };
}

export function build(
  steps: readonly Step[],
  parts: {
    readonly faults?: Readonly<Record<string, number>>;
    readonly specifications?: readonly Specification[];
    readonly cautions?: readonly Caution[];
    readonly setUps?: readonly SetUp[];
    readonly repairs?: readonly Repair[];
    readonly facts?: readonly Fact[];
    readonly instruments?: Procedure["instruments"];
    readonly hazards?: readonly Hazard[];
    readonly start?: string;
    readonly title?: string;
  } = {},
): Procedure {
  const named = <T extends { readonly id: string }>(list: readonly T[] = []) =>
    new Map(list.map((each) => [each.id, each]));
  const implied = [end("end/unresolved", "unresolved"), end("end/stopped", "stopped")];
  return {
    id: "test",
    title: parts.title ?? "Test",
    revision: 1,
    language: "en",
    complaint: "It does not run.",
    hash: "0".repeat(64),
    certainty: 0.8,
    decideAt: 0.95,
    equipment: [],
    freeOrder: false,
    tools: [],
    hazards: parts.hazards ?? [],
    instruments: parts.instruments ?? new Map(),
    specifications: named(parts.specifications),
    cautions: named(parts.cautions),
    setUps: named(parts.setUps),
    facts: named(parts.facts),
    faults: named(
      Object.entries(parts.faults ?? {}).map(
        ([id, prior]): Fault => ({ id, title: id, prior, node: nodeAt("faults", id) }),
      ),
    ),
    repairs: named(parts.repairs),
    start: parts.start ?? steps[0]?.id ?? "",
    steps: named([...steps, ...implied]),
  };
}
