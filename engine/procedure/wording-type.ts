/** How one finding code is told in one language. */
export interface Wording {
  /** A few words that name the kind of mistake. */
  readonly title: string;
  readonly message: (params: Params) => string;
  readonly mend: (params: Params) => string;
}

/** A finding's params, safe to show; what is missing is an empty text. */
export type Params = (name: string) => string;
