import { type Actor, createActor } from "xstate";
import { advance } from "../../engine/machine/advance.ts";
import type { Opening, RunEvent } from "../../engine/machine/event.ts";
import {
  eventLine,
  eventOf,
  openingLine,
  openingOf,
  parseRecordLine,
  type RecordLine,
  verifyRecord,
  writeLine,
} from "../../engine/machine/record.ts";
import type { Refusal } from "../../engine/machine/refusal.ts";
import type { Run } from "../../engine/machine/run.ts";
import { toStatechart } from "../../engine/machine/statechart.ts";
import type { Procedure } from "../../engine/procedure/model.ts";
import { type CardDraft, EMPTY_DRAFT } from "../kit/card-draft.ts";
import type { CardEvent } from "../kit/card-event.ts";
import { APP } from "../wire/app-name.ts";
import type { ProcedureTexts } from "../wire/procedures.ts";
import type { KeptDraft, KeptRun, RunHead } from "./kept-run.ts";
import type { RunStore } from "./run-store.ts";

type RunActor = Actor<ReturnType<typeof toStatechart>>;

/** What became of an event. */
export type Sent =
  | { readonly ok: true }
  /** The run asks for something else, or the reading is none; nothing changed. */
  | { readonly ok: false; readonly code: "refused"; readonly refusal: Refusal }
  /** Another tab wrote on: this one shows that now, and the event was not taken. */
  | { readonly ok: false; readonly code: "moved-on" }
  /** The browser could not keep it: nothing is accepted that is not stored. */
  | { readonly ok: false; readonly code: "not-kept"; readonly message: string };

interface SessionStatus {
  /** An event is being stored. */
  readonly busy: boolean;
  readonly draft: KeptDraft;
  /** Hash of the record's last line. */
  readonly hash: string;
  /** Sequence number of the record's last line. */
  readonly seq: number;
}

/** A run as state and effects. The actor's snapshot holds the run as accepted and stored. */
export interface RunSession {
  readonly head: RunHead;
  readonly procedure: Procedure;
  readonly actor: RunActor;
  readonly getStatus: () => SessionStatus;
  readonly subscribe: (listener: () => void) => () => void;
  /** Takes an event: judged, stored for good, then shown. One at a time, in the order given. */
  readonly send: (event: CardEvent) => Promise<Sent>;
  /** Keeps what is half typed; needs no waiting. */
  readonly keepDraft: (change: DraftChange) => void;
  /** Reads what another tab wrote. */
  readonly catchUp: () => Promise<void>;
  /** Whether this tab may write; one that only looks on keeps no drafts and sends nothing. */
  readonly setWriter: (isWriter: boolean) => void;
  readonly close: () => void;
}

/** What changes of a draft; `amending: null` ends the change of an earlier answer. */
interface DraftChange {
  readonly card?: CardDraft;
  readonly seen?: number;
  readonly amending?: KeptDraft["amending"] | null;
}

interface Surroundings {
  readonly store: RunStore;
  /** ms since 1970. */
  readonly now: () => number;
  /** Told after each stored line. */
  readonly onKept?: (run: string) => void;
}

/** A new run, its opening stored. */
export async function openSession(
  procedure: Procedure,
  opening: Opening,
  texts: ProcedureTexts,
  around: Surroundings,
): Promise<RunSession> {
  const line = openingLine(procedure, opening, APP);
  const head: RunHead = {
    run: opening.run,
    procedure: procedure.id,
    title: procedure.title,
    complaint: procedure.complaint,
    ...(procedure.sheet ? { equipment: procedure.sheet.id, equipmentTitle: procedure.sheet.title } : {}),
    ...(opening.technician === undefined ? {} : { technician: opening.technician }),
    ...(opening.unit === undefined ? {} : { unit: opening.unit }),
    openedAt: opening.at,
    touchedAt: opening.at,
    lastSeq: 0,
    sentSeq: -1,
  };
  await around.store.open(head, texts, writeLine(line));
  around.onKept?.(opening.run);
  return startSession(procedure, { head, texts, lines: [] }, [line], around);
}

/** A kept run where it was left, or why its record can't be walked. */
export function resumeSession(
  procedure: Procedure,
  kept: KeptRun,
  around: Surroundings,
): { readonly ok: true; readonly session: RunSession } | { readonly ok: false; readonly message: string } {
  const verified = verifyRecord(kept.lines);
  if (!verified.ok) return { ok: false, message: verified.problem.message };
  return { ok: true, session: startSession(procedure, kept, verified.lines, around) };
}

function startSession(
  procedure: Procedure,
  kept: KeptRun,
  lines: readonly RecordLine[],
  around: Surroundings,
): RunSession {
  const { store, now } = around;
  const { head } = kept;
  let last = lines.at(-1) as RecordLine;
  const actor = createActor(toStatechart(procedure), { input: openingFrom(lines[0] as RecordLine) });
  actor.start();
  for (const line of lines.slice(1)) actor.send(eventOf(line));
  const runNow = (): Run => actor.getSnapshot().context.run;

  const listeners = new Set<() => void>();
  let status: SessionStatus = {
    busy: false,
    draft: fittingDraft(kept.draft, runNow()),
    hash: last.hash,
    seq: last.seq,
  };
  const change = (next: Partial<SessionStatus>) => {
    status = { ...status, ...next };
    for (const listener of listeners) listener();
  };
  const follow = (event: RunEvent, line: RecordLine) => {
    last = line;
    actor.send(event);
    change({ hash: line.hash, seq: line.seq, draft: draftAfter(status.draft, runNow()) });
  };

  const catchUp = async () => {
    for (const text of await store.readLines(head.run, last.seq + 1)) {
      const parsed = parseRecordLine(text);
      if (parsed.ok && parsed.line.seq === last.seq + 1) follow(eventOf(parsed.line), parsed.line);
    }
    const kept = await store.readRun(head.run);
    if (kept?.draft !== undefined && kept.draft.change > status.draft.change)
      change({ draft: fittingDraft(kept.draft, runNow()) });
  };

  let isWriter = true;
  const take = async (happened: CardEvent): Promise<Sent> => {
    if (!isWriter) return { ok: false, code: "moved-on" };
    const run = runNow();
    // Time never runs backwards in a record, whatever the clock of the phone does.
    const event: RunEvent = { ...happened, at: Math.max(now(), Date.parse(last.at)) };
    const next = advance(procedure, run, event);
    if (!next.ok) return { ok: false, code: "refused", refusal: next.refusal };
    const line = eventLine(last, event, run.step);
    const end = next.run.end === undefined ? {} : { end: next.run.end };
    try {
      const kept = await store.append(head.run, line.seq, writeLine(line), { touchedAt: event.at, ...end });
      if (!kept) {
        await catchUp();
        return { ok: false, code: "moved-on" };
      }
    } catch (problem) {
      return { ok: false, code: "not-kept", message: problem instanceof Error ? problem.message : "" };
    }
    follow(event, line);
    around.onKept?.(head.run);
    return { ok: true };
  };

  let queue: Promise<unknown> = Promise.resolve();
  return {
    head,
    procedure,
    actor,
    getStatus: () => status,
    subscribe: (listener) => {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    send: (event) => {
      const sent = queue.then(async () => {
        change({ busy: true });
        const result = await take(event);
        change({ busy: false });
        return result;
      });
      queue = sent;
      return sent;
    },
    keepDraft: ({ amending, ...part }) => {
      const { amending: before, ...rest } = status.draft;
      const kept = amending === undefined ? before : (amending ?? undefined);
      const draft: KeptDraft = {
        ...rest,
        ...part,
        change: rest.change + 1,
        ...(kept ? { amending: kept } : {}),
      };
      change({ draft });
      if (isWriter) void store.keepDraft(head.run, draft).catch(() => undefined);
    },
    catchUp,
    setWriter: (next) => {
      isWriter = next;
    },
    close: () => {
      listeners.clear();
      actor.stop();
    },
  };
}

function openingFrom(first: RecordLine): Opening {
  const { run, at, technician, unit } = openingOf(first);
  return {
    run,
    at,
    ...(technician === undefined ? {} : { technician }),
    ...(unit === undefined ? {} : { unit }),
  };
}

/** A draft of another prompt is left behind; verdicts read stay read. */
function fittingDraft(draft: KeptDraft | undefined, run: Run): KeptDraft {
  const events = run.events.length;
  if (draft?.events === events) return draft;
  return { change: draft?.change ?? 0, events, card: EMPTY_DRAFT, seen: draft?.seen ?? 0 };
}

function draftAfter(draft: KeptDraft, run: Run): KeptDraft {
  return { change: draft.change, events: run.events.length, card: EMPTY_DRAFT, seen: draft.seen };
}
