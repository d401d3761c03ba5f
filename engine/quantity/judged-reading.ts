import type { AccuracyRange, Budget } from "./accuracy.ts";
import type { Quantity } from "./quantity.ts";
import type { NumericBand } from "./verdict.ts";

/** What was done to a reading; `amount` is in the reading unit and was added. */
export type AppliedCorrection =
  | { readonly kind: "leads"; readonly amount: number; readonly from: "measured" | "stated" }
  /** From the part's temperature to the reference, degC. */
  | {
      readonly kind: "temperature";
      readonly amount: number;
      readonly metal: string;
      readonly at: number;
      readonly to: number;
    };

/** What a reading means: corrected, with its doubt, against bands or a specification. */
export interface JudgedReading {
  /** As typed. */
  readonly typed: string;
  /** As read, in the reading unit; the mean of several; ±Infinity for over range. */
  readonly read: number;
  readonly readingUnit: string;
  /** Size of the last digit typed, in the reading unit; 0 for over range. */
  readonly lastDigit: number;
  /** How many readings this is the mean of; absent for one. */
  readonly count?: number;
  /** After corrections, in the step's reading unit. */
  readonly corrected: number;
  /** What is judged, in the step's unit: `value:` applied, else the corrected reading. */
  readonly value: number;
  readonly unit: string;
  /** Standard uncertainty of `value`; absent where no instrument or accuracy is known, and for over range. */
  readonly u?: number;
  /** Where `u` comes from, line by line, in the reading unit. */
  readonly budget?: Budget;
  /** What was corrected, in the order done. */
  readonly corrections: readonly AppliedCorrection[];
  /** The outcome that the value alone picks. */
  readonly picked: string;
  /** The bands judged by, in `unit`, for the picture of the verdict. */
  readonly bands: readonly NumericBand[];
  /** P(true value lies in the band) by outcome; they sum to 1. Absent without accuracy. */
  readonly shares?: Readonly<Record<string, number>>;
  readonly verdict: "within" | "below" | "above" | "too-close" | "none";
  /** P(true value lies in the band picked); null when unknown. */
  readonly conformance: number | null;
  /**
   * Nearest values, in `unit`, at which a close call would be clear: at most the one, at least the other. An end
   * is absent where no value on that side is clear with this doubt. Absent unless too close.
   */
  readonly clear?: { readonly atMost?: number; readonly atLeast?: number };
  /** What would settle a close call, the likeliest help first; empty unless too close. */
  readonly settle: readonly SettleAdvice[];
}

/** Everything that a reading is judged by. */
export interface JudgeInput {
  /** `reading` and `leads` may hold several, as `parseReadings` reads them. */
  readonly typed: { readonly reading: string; readonly leads?: string; readonly temperature?: string };
  /** The unit of `reading` where none is typed, of `leads` and of the corrected value. */
  readonly readingUnit: string;
  /** The unit of the bands and of what is judged. */
  readonly unit: string;
  readonly ranges?: readonly AccuracyRange[];
  readonly correct?: {
    readonly leads?: "subtract" | "ask";
    readonly temperature?: { readonly metal: string };
    /** Reference temperature; 20 degC where left out. */
    readonly to?: Quantity;
    /** Half-width within which the limits were set at that temperature; exactly at it where left out. */
    readonly toWithin?: Quantity;
  };
  /** The temperature that the limits hold at, where the reading is not brought to it. */
  readonly reference?: Quantity;
  /** Accuracy of the thermometer; the temperature counts as exact where left out. */
  readonly temperatureRanges?: readonly AccuracyRange[];
  /** Numbers in `unit`, covering everything once. Empty: the reading is only recorded. */
  readonly bands: readonly NumericBand[];
  readonly scheme: "bands" | "specification" | "none";
  /** Under this probability of the band picked the call is too close. */
  readonly decideAt: number;
  /** From the corrected reading to what is judged, in `unit`; undefined where it can't be worked out. */
  readonly value?: (corrected: number) => number | undefined;
  /** In the reading unit, of the reading as typed; an end is included where nothing else is said. */
  readonly plausible?: PlausibleRange;
}

/** What would settle a close call. */
export type SettleAdvice =
  | { readonly kind: "measure-leads" }
  /** `range` as people read it, `400 Ω`. */
  | { readonly kind: "finer-range"; readonly range: string }
  /** `to` in degC; `corrected` where the step brings a reading to the reference by the temperature entered. */
  | { readonly kind: "let-cool"; readonly to: number; readonly corrected: boolean }
  | { readonly kind: "read-again" };

export interface PlausibleRange {
  readonly low: number;
  readonly high: number;
  readonly lowIncluded?: boolean;
  readonly highIncluded?: boolean;
}
