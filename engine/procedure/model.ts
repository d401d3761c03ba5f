/**
 * The checked procedure: what every other room reads.
 *
 * A procedure is linked once (calls flattened, names resolved, quantities parsed) and is plain and frozen
 * from then on. A step of a called procedure has the id `<call step>/<step>`, its faults, facts, set-ups,
 * cautions, instruments, specifications and repairs are named the same way, so that everything after linking
 * is one flat graph.
 */
import type { AccuracyRange } from "../quantity/accuracy.ts";
import type { MeasureKind } from "../quantity/kind.ts";
import type { Quantity } from "../quantity/quantity.ts";

/** `hot`, or `inspect-end/look` inside a call. */
export type StepId = string;
/** `fuse-open`, or `inspect-end/pin-loose` inside a call. */
export type FaultId = string;
/**
 * Answer or band id, a return's name, or a word that the format gives a meaning of its own: `below`, `within`,
 * `above`, `taken`, `borderline`, `done`, `repaired`, `concluded`, `cannot`, `stop`.
 */
export type Outcome = string;

export const END_WORDS = [
  "fixed",
  "fault-found",
  "no-fault-found",
  "referred",
  "unresolved",
  "stopped",
] as const;
export type EndWord = (typeof END_WORDS)[number];

/** Where something stands: a file's name and the keys and indexes that lead to it. */
export interface NodePath {
  readonly file: string;
  readonly path: readonly (string | number)[];
}

export interface Procedure {
  readonly id: string;
  readonly title: string;
  readonly revision: number;
  readonly language: string;
  readonly complaint: string;
  /** SHA-256 of the procedure's text and of each called one's, hex. */
  readonly hash: string;
  /** The probability a conclusion needs. */
  readonly certainty: number;
  /** The probability under which a verdict is too close to call. */
  readonly decideAt: number;
  /** Ids of equipment sheets; empty means any. */
  readonly equipment: readonly string[];
  /** The sheet that was laid over the procedure, when one was. */
  readonly sheet?: { readonly id: string; readonly title: string };
  /** The technician may take an advised step instead of the written one. */
  readonly freeOrder: boolean;
  readonly tools: readonly string[];
  readonly hazards: readonly Hazard[];
  readonly instruments: ReadonlyMap<string, Instrument>;
  readonly specifications: ReadonlyMap<string, Specification>;
  readonly cautions: ReadonlyMap<string, Caution>;
  readonly setUps: ReadonlyMap<string, SetUp>;
  readonly facts: ReadonlyMap<string, Fact>;
  readonly faults: ReadonlyMap<FaultId, Fault>;
  readonly repairs: ReadonlyMap<string, Repair>;
  readonly start: StepId;
  /** In the order written; a called procedure's steps stand behind the step that calls it. */
  readonly steps: ReadonlyMap<StepId, Step>;
}

export type Hazard =
  | "hot"
  | "rotating"
  | "stored-pressure"
  | "electric-energised"
  | "electric-high"
  | "airbag"
  | "fuel"
  | "lifting"
  | "battery-gas"
  | "moving-vehicle";

interface Picture {
  readonly file: string;
  readonly alt: string;
}

/** What a step, set-up, act or fault may say about finding its place. */
export interface Findable {
  readonly where?: string;
  readonly picture?: Picture;
}

export type Signal = "danger" | "warning" | "caution" | "notice";

export interface Caution {
  readonly id: string;
  readonly signal: Signal;
  readonly hazard: string;
  readonly consequence?: string;
  readonly avoid: string;
  readonly covers: readonly Hazard[];
  /** What the acknowledging button says was done; a sentence of the technician's. */
  readonly acknowledge?: string;
  readonly node: NodePath;
}

/** A tightening torque: one value, or from and to. */
export type Torque = Quantity | { readonly from: Quantity; readonly to: Quantity };

export interface SetUp extends Findable {
  readonly id: string;
  readonly title: string;
  readonly do: string;
  readonly minutes: number;
  readonly torque?: Torque;
  readonly needs: readonly string[];
  readonly without: readonly string[];
  readonly cautions: readonly string[];
  readonly hazards: readonly Hazard[];
  readonly tools: readonly string[];
  /** Absent where there is nothing to put back. */
  readonly putBack?: {
    readonly do: string;
    readonly minutes: number;
    readonly torque?: Torque;
    readonly cautions: readonly string[];
    readonly hazards?: readonly Hazard[];
    readonly tools?: readonly string[];
  };
  readonly node: NodePath;
}

export interface Fact {
  readonly id: string;
  readonly title: string;
  readonly ask: string;
  /** What can be chosen; `unknown` always can too. Empty for a measured or listed fact. */
  readonly choices: readonly { readonly id: string; readonly label: string }[];
  /** A measured fact. */
  readonly measure?: { readonly quantity: MeasureKind; readonly unit: string; readonly instrument?: string };
  /** `codes`: trouble codes, typed as a list. */
  readonly list: boolean;
  /** Given by the call or the equipment sheet: never asked. */
  readonly given?: FactValue;
  readonly node: NodePath;
}

/** A choice's id, a measured number in the fact's unit, a list of codes, or not known. */
export type FactValue = string | number | readonly string[] | { readonly unknown: true };

export interface Fault extends Findable {
  readonly id: FaultId;
  readonly title: string;
  readonly prior: number;
  readonly repair?: string;
  readonly node: NodePath;
}

export interface Act extends Findable {
  readonly say: string;
  readonly torque?: Torque;
  readonly cautions: readonly string[];
  readonly hazards: readonly Hazard[];
}

export interface Repair {
  readonly id: string;
  readonly title: string;
  readonly minutes: number;
  readonly cost?: number;
  readonly parts: readonly { readonly part: string; readonly quantity: number; readonly renew: boolean }[];
  readonly needs: readonly string[];
  readonly without: readonly string[];
  readonly tools: readonly string[];
  readonly cautions: readonly string[];
  readonly hazards: readonly Hazard[];
  readonly do: readonly Act[];
  readonly node: NodePath;
}

/** A condition or value in CEL, with the names it uses. */
export interface Expression {
  readonly text: string;
  /** Prefix of the called procedure it stands in (`inspect-end/`), empty at the top. */
  readonly scope: string;
  /** Full ids. */
  readonly facts: readonly string[];
  /** Full ids of the steps whose `readings` or `values` it uses. */
  readonly readings: readonly StepId[];
  readonly elapsed: readonly StepId[];
  readonly node: NodePath;
}

/** One limit: a number with a unit, another limit, or a table over a fact or reading. */
export type Limit =
  | { readonly kind: "fixed"; readonly quantity: Quantity }
  | { readonly kind: "cited"; readonly specification: string; readonly end: LimitWord }
  | {
      readonly kind: "table";
      readonly by: Expression;
      readonly rows: readonly (readonly [Quantity, Quantity])[];
    };
export type LimitWord = "from" | "to" | "under" | "over";

/** A half-line or interval of numbers; `from` and `to` include the number, `over` and `under` do not. */
export interface Limits {
  readonly low?: { readonly limit: Limit; readonly included: boolean };
  readonly high?: { readonly limit: Limit; readonly included: boolean };
}

export interface Specification extends Limits {
  readonly id: string;
  readonly title: string;
  readonly source?: string;
  /** Reference conditions, as `20 degC`. */
  readonly at?: Quantity;
  /** How far off the reference the limits were set at most: the ± of `20 degC ± 5 degC`. */
  readonly atWithin?: Quantity;
  /** The runner asks for value and source before the first step that needs it. */
  readonly open?: { readonly unit: string; readonly limits: readonly LimitWord[] };
  /** Where the numbers came from: a sheet's go before the procedure's. */
  readonly given: "procedure" | "equipment";
  readonly node: NodePath;
}

export interface Instrument {
  readonly id: string;
  readonly title: string;
  readonly accuracy: ReadonlyMap<MeasureKind, readonly AccuracyRange[]>;
  readonly node: NodePath;
}

/** Where an outcome leads. The first arm whose condition holds is taken; the last has none. */
export interface Branch {
  readonly step: StepId;
  readonly outcome: Outcome;
  readonly arms: readonly { readonly if?: Expression; readonly goto: StepId; readonly node: NodePath }[];
  /** Taken at most so often in a run; after that it leads to `else`. */
  readonly atMost?: number;
  readonly else?: StepId;
  /** Not written by the author: `cannot` and `stop`. */
  readonly implied: boolean;
  readonly node: NodePath;
}

/** P(outcome | fault) as written: shares by outcome. The rest of a row is spread when it is used. */
export interface Evidence {
  readonly rows: ReadonlyMap<FaultId, ReadonlyMap<Outcome, number>>;
  readonly otherwise?: ReadonlyMap<Outcome, number>;
  /** Normal density of the corrected value under a fault; `spread` is two standard deviations. */
  readonly reads: ReadonlyMap<FaultId, { readonly mean: Quantity; readonly spread: Quantity }>;
  readonly node: NodePath;
}

interface StepBase extends Findable {
  readonly id: StepId;
  /** Prefix of the called procedure the step stands in (`inspect-end/`), empty at the top. */
  readonly scope: string;
  readonly title: string;
  readonly say?: string;
  readonly minutes: number;
  readonly needs: readonly string[];
  readonly without: readonly string[];
  readonly cautions: readonly string[];
  readonly hazards: readonly Hazard[];
  readonly tools: readonly string[];
  /** Facts to be known before this step, in order of use. */
  readonly facts: readonly string[];
  /** Specifications to be known before this step, in order of use. */
  readonly specifications: readonly string[];
  /** Steps that must come before this one in any reordering. */
  readonly after: readonly StepId[];
  /** Every outcome that leads somewhere, `cannot` and `stop` included; in the order written. */
  readonly outcomes: ReadonlyMap<Outcome, Branch>;
  readonly evidence?: Evidence;
  readonly node: NodePath;
}

interface Timed {
  /** Waited before the answer. */
  readonly waitMinutes?: number;
  /** The most an energised act may last. */
  readonly limitSeconds?: number;
}

export interface AskStep extends StepBase, Timed {
  readonly kind: "ask";
  readonly ask: string;
  readonly answers: readonly { readonly id: string; readonly label: string }[];
}

export interface Band extends Limits {
  readonly id: string;
  readonly label: string;
  readonly node: NodePath;
}

export interface Correction {
  /** `subtract` takes the instrument's stated figure, `ask` a reading with the leads held together. */
  readonly leads?: "subtract" | "ask";
  readonly temperature?: { readonly ask: string; readonly metal: string };
  /** Reference temperature: the specification's `at`, or the one written for bands. */
  readonly to?: Quantity;
}

export interface MeasureStep extends StepBase, Timed {
  readonly kind: "measure";
  readonly quantity: MeasureKind;
  /** The unit that is judged. */
  readonly unit: string;
  /** The unit that is typed. */
  readonly readingUnit: string;
  readonly instrument?: string;
  readonly correct?: Correction;
  readonly plausible?: Limits;
  /** Computed from the reading, then judged. */
  readonly value?: Expression;
  readonly decideAt?: number;
  /** How the reading is judged. */
  readonly judged:
    | { readonly by: "bands"; readonly bands: readonly Band[] }
    | { readonly by: "specification"; readonly specification: string }
    | { readonly by: "nothing" };
}

export interface DoStep extends StepBase, Timed {
  readonly kind: "do";
  readonly do: string;
}

/** Leads at once into the called procedure; its outcomes are the called one's returns. */
export interface CallStep extends StepBase {
  readonly kind: "call";
  readonly procedure: string;
  readonly entry: StepId;
  /** What the called procedure says at its top that its machine does to people. */
  readonly brings?: readonly Hazard[];
  /** Whether the called procedure leaves its order free. */
  readonly freeOrder?: boolean;
  /** The proof that the called procedure wants, where it says one. */
  readonly certainty?: number;
}

export interface ConcludeStep extends StepBase {
  readonly kind: "conclude";
  readonly faults: readonly FaultId[];
  /** Every distinct repair once, in order. */
  readonly repairs: readonly string[];
  /** The step that verifies; absent where the conclusion only goes on to a referral. */
  readonly verify?: StepId;
}

export interface EndStep extends StepBase {
  readonly kind: "end";
  readonly end: EndWord;
  /** The call step that this end returns to; absent at the top. */
  readonly returnsTo?: StepId;
}

export type Step = AskStep | MeasureStep | DoStep | CallStep | ConcludeStep | EndStep;
export type StepKind = Step["kind"];

/** Ends that nobody wrote: where `cannot` and `stop` lead when nothing else is said. */
export const IMPLIED_ENDS = { cannot: "end/unresolved", stop: "end/stopped" } as const;
