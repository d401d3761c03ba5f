/** What a run asks for next: exactly one thing. Everything a screen needs to show it is in here. */
import type {
  Act,
  Caution,
  EndWord,
  Fact,
  FaultId,
  Findable,
  Limits,
  LimitWord,
  Repair,
  SetUp,
  StepId,
  Torque,
} from "../procedure/model.ts";
import type { MeasureKind } from "../quantity/kind.ts";

export type Prompt =
  | { readonly kind: "fact"; readonly fact: Fact }
  | {
      readonly kind: "specification";
      readonly specification: string;
      readonly title: string;
      readonly unit: string;
      readonly limits: readonly LimitWord[];
    }
  | { readonly kind: "set-up"; readonly change: "make" | "put-back"; readonly setUp: SetUp }
  | {
      readonly kind: "cautions";
      /** The step or set-up that they stand before. */
      readonly for: string;
      /** What comes next, in a sentence. */
      readonly next: string;
      /** Highest signal word first. */
      readonly cautions: readonly Caution[];
    }
  | (StepPrompt & {
      readonly kind: "ask";
      readonly text: string;
      readonly answers: readonly { readonly id: string; readonly label: string }[];
    })
  | (StepPrompt & {
      readonly kind: "measure";
      readonly quantity: MeasureKind;
      /** The unit to type in. */
      readonly unit: string;
      readonly instrument?: string;
      /** Ask for a reading with the leads held together. */
      readonly leads: boolean;
      /** Ask for the part's temperature, with this sentence. */
      readonly temperature?: string;
      readonly plausible?: Limits;
    })
  | (StepPrompt & { readonly kind: "do"; readonly text: string })
  | (StepPrompt & {
      readonly kind: "repair";
      readonly faults: readonly { readonly id: FaultId; readonly title: string; readonly where?: string }[];
      readonly repairs: readonly Repair[];
      readonly acts: readonly Act[];
    })
  | (StepPrompt & {
      readonly kind: "concluded";
      readonly faults: readonly { readonly id: FaultId; readonly title: string; readonly where?: string }[];
    })
  | {
      readonly kind: "end";
      readonly step: StepId;
      readonly end: EndWord;
      readonly say?: string;
      /** Titles of the faults whose proof answers given by choice took away: why the job ended here. */
      readonly unproven?: readonly string[];
      readonly putBack: readonly PutBackItem[];
    };

interface StepPrompt extends Findable {
  readonly step: StepId;
  readonly title: string;
  readonly say?: string;
  readonly tools: readonly string[];
  /** Titles of the set-ups that are made now: "Apart now". */
  readonly apart: readonly string[];
  readonly waitMinutes?: number;
  readonly limitSeconds?: number;
  /** Which time in this run, from 1. */
  readonly visit: number;
}

export interface PutBackItem {
  readonly setUp: string;
  readonly do: string;
  readonly torque?: Torque;
  readonly done: boolean;
}
