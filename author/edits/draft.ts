/** Which text an author goes on with when a procedure is opened, and what else is offered. */
import { sha256 } from "@noble/hashes/sha2.js";
import { bytesToHex, utf8ToBytes } from "@noble/hashes/utils.js";

/** Text that was typed and not yet saved into the trees. */
export interface Draft {
  readonly text: string;
  /** Fingerprint of the saved text that it grew from; absent for a procedure never saved. */
  readonly base?: string;
  /** When it was last typed on, ms; absent where the store that kept it does not say. */
  readonly at?: number;
}

type Origin = "saved" | "draft-here" | "draft-server";

export interface Offer {
  readonly origin: Origin;
  readonly text: string;
  readonly at?: number;
}

export interface Opening {
  /** The text to go on with. */
  readonly chosen: Offer;
  /** Other texts, each different from the chosen one and from each other: offered, never dropped. */
  readonly others: readonly Offer[];
  /** The saved text was changed by somebody after the chosen draft was begun. */
  readonly savedMoved: boolean;
}

export interface Kept {
  readonly saved?: string;
  readonly here?: Draft;
  readonly server?: Draft;
}

/** SHA-256 of a text, hex: tells whether the saved text is still the one that a draft grew from. */
export function fingerprint(text: string): string {
  return bytesToHex(sha256(utf8ToBytes(text)));
}

/**
 * Returns the text to go on with and every other one, or nothing where there is none at all.
 *
 * The draft typed on last goes before the saved text, since it is what the author would otherwise miss. A
 * draft without a time counts as the older one. A draft that says what is saved is no draft.
 */
export function chooseOpening({ saved, here, server }: Kept): Opening | undefined {
  const drafts = [
    ...(here ? [{ draft: here, origin: "draft-here" as const }] : []),
    ...(server ? [{ draft: server, origin: "draft-server" as const }] : []),
  ]
    .filter(({ draft }) => draft.text !== saved)
    .sort((a, b) => (b.draft.at ?? 0) - (a.draft.at ?? 0));
  const latest = drafts[0];
  const offers: Offer[] = drafts.map(({ draft, origin }) => offerOf(origin, draft.text, draft.at));
  if (saved !== undefined) offers.push(offerOf("saved", saved, undefined));
  const [chosen, ...rest] = offers;
  if (!chosen) return undefined;
  const texts = new Set([chosen.text]);
  const others = rest.filter(({ text }) => !texts.has(text) && texts.add(text));
  const base = latest?.draft.base;
  return {
    chosen,
    others,
    savedMoved: saved !== undefined && base !== undefined && base !== fingerprint(saved),
  };
}

function offerOf(origin: Origin, text: string, at: number | undefined): Offer {
  return at === undefined ? { origin, text } : { origin, text, at };
}
