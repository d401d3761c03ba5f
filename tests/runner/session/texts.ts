/** A shipped procedure as the server sends it. */
import { createHash } from "node:crypto";
import type { Opening } from "../../../engine/machine/event.ts";
import { promptOf } from "../../../engine/machine/prompt-of.ts";
import type { Run } from "../../../engine/machine/run.ts";
import type { Procedure } from "../../../engine/procedure/model.ts";
import type { CardEvent } from "../../../runner/kit/card-event.ts";
import { linkTexts } from "../../../runner/session/link-texts.ts";
import { openSession, type RunSession } from "../../../runner/session/run-session.ts";
import type { RunStore } from "../../../runner/session/run-store.ts";
import type { ProcedureTexts } from "../../../runner/wire/procedures.ts";
import { randomEvent } from "../../engine/random-event.ts";
import { library } from "../../trees.ts";

const ID = "gate-lift-does-not-lower";
const SHEET = "bittern-120";

function gateLiftTexts(): ProcedureTexts {
  const text = library.procedure(ID) ?? "";
  return {
    id: ID,
    text,
    hash: createHash("sha256").update(text).digest("hex"),
    called: new Map([["inspect-connector", library.procedure("inspect-connector") ?? ""]]),
    equipment: new Map([[SHEET, library.equipment(SHEET) ?? ""]]),
  };
}

export function gateLift(): Procedure {
  const procedure = linkTexts(gateLiftTexts(), SHEET);
  if (procedure === undefined) throw new Error(`${ID} does not link`);
  return procedure;
}

export const OPENING: Opening = { run: "run-1", at: 1_700_000_000_000, technician: "tech-1", unit: "B-17" };

/** A clock that goes on a second with every look. */
export function tickingClock(): () => number {
  let now = OPENING.at;
  return () => {
    now += 1000;
    return now;
  };
}

export function openGateLift(store: RunStore, now = tickingClock()): Promise<RunSession> {
  return openSession(gateLift(), OPENING, gateLiftTexts(), { store, now });
}

export function runOf(session: RunSession): Run {
  return session.actor.getSnapshot().context.run;
}

/** What could be answered now, drawn by a number; undefined at an end with everything put back. */
export function someAnswer(session: RunSession, draw: number): CardEvent | undefined {
  const event = randomEvent(promptOf(session.procedure, runOf(session)), draw, 0);
  if (event === undefined) return undefined;
  const { at: _, ...answer } = event;
  return answer as CardEvent;
}
