/** One prompt being asked: where, what else may be done instead of answering, and what was typed so far. */
import type { Procedure } from "../../engine/procedure/model.ts";
import type { CardEvent } from "../kit/card-event.ts";
import { REASONS } from "../kit/reasons.ts";
import type { Asker, Choice } from "./asker.ts";
import type { Screen } from "./screen.ts";

export type Told =
  | { readonly kind: "event"; readonly event: CardEvent }
  | { readonly kind: "amend" }
  | { readonly kind: "why" }
  /** Take another step first. */
  | { readonly kind: "choose" }
  /** Shows and asks the same anew, or leaves an amendment as it was. */
  | { readonly kind: "back" }
  /** Leaves the run open. */
  | { readonly kind: "later" }
  | { readonly kind: "close" };

export interface Asking {
  readonly asker: Asker;
  readonly screen: Screen;
  readonly procedure: Procedure;
  /** The step that can be answered `cannot`; absent where there is no such way. */
  readonly cannot?: string;
  readonly amending: boolean;
  readonly mayAmend: boolean;
  readonly mayAskWhy: boolean;
  readonly mayChoose: boolean;
  /** At an end there is nothing left to leave. */
  readonly ended: boolean;
  readonly draft: Draft;
}

/** Kept while a prompt is asked again: after a refusal, after "why". */
export interface Draft {
  reading?: string;
  leads?: string;
  temperature?: string;
  /** Minutes. */
  waited?: number;
  /** The limit's clock was offered. */
  timed?: boolean;
  /** The leads were offered after a close call. */
  offered?: boolean;
}

/** No id holds a control character, so none of these is an answer's. */
const CANNOT = "\u0000cannot";
const WHY = "\u0000why";
/** Typed where a number or a reading is asked for. */
export const WHY_WORD = "why";
const CHOOSE = "\u0000choose";
const AMEND = "\u0000amend";
const STOP = "\u0000stop";
const BACK = "\u0000back";
const OTHER = "\u0000other";
const LATER = "\u0000later";

/** The answers with the ways out below them; what was told, `answered` for an answer. */
export async function choose(
  asking: Asking,
  answers: readonly Choice[],
  cannotName: string | undefined,
  answered: (value: string) => Told | Promise<Told>,
): Promise<Told> {
  const value = await asking.asker.choose([...answers, ...waysOut(asking, cannotName)]);
  switch (value) {
    case CANNOT:
      return cannot(asking, asking.cannot ?? "");
    case STOP:
      return stop(asking);
    case AMEND:
      return { kind: "amend" };
    case WHY:
      return { kind: "why" };
    case CHOOSE:
      return { kind: "choose" };
    case BACK:
      return { kind: "back" };
    default:
      return answered(value);
  }
}

function waysOut(asking: Asking, cannotName: string | undefined): readonly Choice[] {
  const way = (name: string, value: string): Choice => ({ name, value, quiet: true });
  const cannotWay = asking.cannot === undefined || cannotName === undefined ? [] : [way(cannotName, CANNOT)];
  if (asking.amending) return [...cannotWay, way("Keep it as it was", BACK)];
  return [
    ...cannotWay,
    ...(asking.mayAskWhy ? [{ ...way("Why this?", WHY), word: WHY_WORD }] : []),
    ...(asking.mayChoose ? [{ ...way("Take another step first", CHOOSE), word: "other" }] : []),
    ...(asking.mayAmend ? [way("Change an earlier answer", AMEND)] : []),
    ...(asking.ended ? [] : [way("Leave the job here", STOP)]),
  ];
}

async function cannot(asking: Asking, step: string): Promise<Told> {
  asking.screen.show([
    "",
    "Why not? The job goes on without it, or ends unresolved where there is no other way.",
    "",
  ]);
  const reason = await reasonFor(asking);
  return reason === undefined ? { kind: "back" } : { kind: "event", event: { type: "cannot", step, reason } };
}

async function stop(asking: Asking): Promise<Told> {
  asking.screen.gap();
  const value = await asking.asker.choose([
    { name: "Come back to it later", value: LATER },
    { name: "End it unfinished", value: STOP },
    { name: "Back to the job", value: BACK, quiet: true },
  ]);
  if (value === LATER) return { kind: "later" };
  if (value === BACK) return { kind: "back" };
  asking.screen.show(["", "Why does it end here?", ""]);
  const reason = await reasonFor(asking);
  return reason === undefined ? { kind: "back" } : { kind: "event", event: { type: "stop", reason } };
}

/** One of the usual reasons or a typed one; nothing where the technician thinks better of it. */
async function reasonFor({ asker, screen }: Asking): Promise<string | undefined> {
  const value = await asker.choose([
    ...REASONS.map((reason) => ({ name: reason, value: reason })),
    { name: "Something else", value: OTHER },
    { name: "Back to the job", value: BACK, quiet: true },
  ]);
  if (value === BACK) return undefined;
  if (value !== OTHER) return value;
  screen.gap();
  return asker.type("In a few words", (text) => (text === "" ? "Say why in a few words." : undefined));
}
