/** What a reading means: corrected, with its doubt, against bands or a specification. */
export interface JudgedReading {
  /** As typed. */
  readonly typed: string;
  /** As read, in the reading unit; ±Infinity for over range. */
  readonly read: number;
  /** After corrections, in the step's reading unit. */
  readonly corrected: number;
  /** What is judged, in the step's unit: `value:` applied, else the corrected reading. */
  readonly value: number;
  readonly unit: string;
  /** Standard uncertainty of `value`; absent where no instrument or accuracy is known. */
  readonly u?: number;
  /** What was corrected, in the order done; amounts in the reading unit, added to the reading. */
  readonly corrections: readonly {
    readonly kind: "leads" | "temperature";
    readonly amount: number;
    readonly by: string;
  }[];
  /** The outcome that the value alone picks. */
  readonly picked: string;
  /** P(true value lies in the band) by outcome; they sum to 1. Absent without `u`. */
  readonly shares?: Readonly<Record<string, number>>;
  readonly verdict: "within" | "below" | "above" | "too-close" | "none";
  /** P(true value lies in the band picked); null when unknown. */
  readonly conformance: number | null;
  /** Sentence ids of what would settle a close call. */
  readonly settle: readonly SettleAdvice[];
}

export type SettleAdvice =
  | { readonly kind: "measure-leads" }
  | { readonly kind: "finer-range"; readonly range: string }
  | { readonly kind: "let-cool"; readonly to: string }
  | { readonly kind: "read-again" };
