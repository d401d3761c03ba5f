import type { RunEvent } from "../../engine/machine/event.ts";

type WithoutTime<E> = E extends { readonly at: number } ? Omit<E, "at"> : never;

/** What a card reports: a run event without its time, which the session stamps when it accepts it. */
export type CardEvent = WithoutTime<RunEvent>;
