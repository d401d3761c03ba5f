/** What is typed or ticked but not sent, kept so that a reload resumes in the middle of a prompt. Plain data. */
export interface CardDraft {
  /** Typed texts by field: `reading`, `leads`, `temperature`, `source`, `codes`, `from` and so on. */
  readonly typed: Readonly<Record<string, string>>;
  /** Unit chosen by field, where it differs from the one asked for. */
  readonly unit: Readonly<Record<string, string>>;
  /** The field being typed, when a prompt asks for more than one. */
  readonly field?: string;
  /** Acts ticked off, by index. */
  readonly ticked: readonly number[];
  /** When the wait was begun, ms since 1970. */
  readonly waitFrom?: number;
  /** Minutes really waited, once the wait is over. */
  readonly waited?: number;
  /** The reason sheet that is open, and the reason typed so far. */
  readonly reason?: { readonly for: "cannot" | "stop"; readonly text: string };
}

export const EMPTY_DRAFT: CardDraft = { typed: {}, unit: {}, ticked: [] };
