import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { promptOf } from "../../../engine/machine/prompt-of.ts";
import { replayRecord, verifyRecord } from "../../../engine/machine/record.ts";
import { EMPTY_DRAFT } from "../../../runner/kit/card-draft.ts";
import { openMemoryRunStore } from "../../../runner/session/memory-run-store.ts";
import { type RunSession, resumeSession } from "../../../runner/session/run-session.ts";
import type { RunStore } from "../../../runner/session/run-store.ts";
import { gateLift, OPENING, openGateLift, runOf, someAnswer, tickingClock } from "./texts.ts";

async function resume(store: RunStore): Promise<RunSession> {
  const kept = await store.readRun(OPENING.run);
  if (kept === undefined) throw new Error("the run is not kept");
  const resumed = resumeSession(gateLift(), kept, { store, now: tickingClock() });
  if (!resumed.ok) throw new Error(resumed.message);
  return resumed.session;
}

const NO_CODES = { type: "fact", fact: "codes", value: [] } as const;

describe("a session", () => {
  it("keeps its opening before anything is shown", async () => {
    const store = openMemoryRunStore();
    const session = await openGateLift(store);
    expect(await store.readLines(OPENING.run, 0)).toHaveLength(1);
    expect(session.head).toMatchObject({
      procedure: "gate-lift-does-not-lower",
      unit: "B-17",
      equipment: "bittern-120",
    });
  });

  it("shows an event only after it was stored", async () => {
    const kept = openMemoryRunStore();
    const order: string[] = [];
    const store: RunStore = {
      ...kept,
      append: async (...line) => {
        await new Promise((resolve) => setTimeout(resolve, 5));
        order.push("stored");
        return kept.append(...line);
      },
    };
    const session = await openGateLift(store);
    session.actor.subscribe(() => order.push("shown"));
    await session.send(NO_CODES);
    expect(order).toEqual(["stored", "shown"]);
  });

  it("accepts nothing that could not be stored", async () => {
    const store: RunStore = {
      ...openMemoryRunStore(),
      append: () => Promise.reject(new Error("the disk is full")),
    };
    const session = await openGateLift(store);
    const before = promptOf(session.procedure, runOf(session));
    expect(await session.send(NO_CODES)).toEqual({
      ok: false,
      code: "not-kept",
      message: "the disk is full",
    });
    expect(promptOf(session.procedure, runOf(session))).toEqual(before);
    expect(session.getStatus().busy).toBe(false);
  });

  it("refuses what is not asked, and stores nothing of it", async () => {
    const store = openMemoryRunStore();
    const session = await openGateLift(store);
    const sent = await session.send({ type: "answer", step: "lowers", answer: "yes" });
    expect(sent).toMatchObject({ ok: false, code: "refused", refusal: { code: "not-expected" } });
    expect(await store.readLines(OPENING.run, 0)).toHaveLength(1);
  });

  it("takes events in the order they were sent, without waiting in between", async () => {
    const session = await openGateLift(openMemoryRunStore());
    const sent = await Promise.all([
      session.send({ type: "remark", text: "one" }),
      session.send({ type: "remark", text: "two" }),
      session.send({ type: "remark", text: "three" }),
    ]);
    expect(sent.every((each) => each.ok)).toBe(true);
    expect(runOf(session).events.map((event) => "text" in event && event.text)).toEqual([
      "one",
      "two",
      "three",
    ]);
  });

  it("never lets time run backwards in the record", async () => {
    const times = [OPENING.at + 5000, OPENING.at - 60_000];
    const session = await openGateLift(openMemoryRunStore(), () => times.shift() ?? 0);
    await session.send({ type: "remark", text: "one" });
    await session.send({ type: "remark", text: "two" });
    expect(runOf(session).events.map((event) => event.at)).toEqual([OPENING.at + 5000, OPENING.at + 5000]);
  });

  it("resumes with the draft of the prompt it stands at", async () => {
    const store = openMemoryRunStore();
    const session = await openGateLift(store);
    session.keepDraft({ card: { ...EMPTY_DRAFT, typed: { codes: "P04" } } });
    expect((await resume(store)).getStatus().draft.card.typed).toEqual({ codes: "P04" });
  });

  it("leaves a draft behind with its prompt, and remembers which verdicts were read", async () => {
    const store = openMemoryRunStore();
    const session = await openGateLift(store);
    session.keepDraft({ card: { ...EMPTY_DRAFT, typed: { codes: "P04" } }, seen: 7 });
    await session.send(NO_CODES);
    const { draft } = (await resume(store)).getStatus();
    expect(draft.card).toEqual(EMPTY_DRAFT);
    expect(draft.seen).toBe(7);
  });

  it("gives way to another tab that wrote on, and shows what that one did", async () => {
    const store = openMemoryRunStore();
    const first = await openGateLift(store);
    const second = await resume(store);
    expect(await second.send(NO_CODES)).toEqual({ ok: true });
    expect(await first.send({ type: "remark", text: "late" })).toEqual({ ok: false, code: "moved-on" });
    expect(runOf(first).counted).toEqual(runOf(second).counted);
    expect(await first.send({ type: "remark", text: "now" })).toEqual({ ok: true });
  });

  it("sends nothing and keeps no draft while another tab has the run", async () => {
    const store = openMemoryRunStore();
    const session = await openGateLift(store);
    session.setWriter(false);
    session.keepDraft({ seen: 3 });
    expect(await session.send(NO_CODES)).toEqual({ ok: false, code: "moved-on" });
    expect((await store.readRun(OPENING.run))?.draft).toBeUndefined();
  });

  it("does not open a record that was changed, and says which line", async () => {
    const store = openMemoryRunStore();
    const session = await openGateLift(store);
    await session.send(NO_CODES);
    const kept = await store.readRun(OPENING.run);
    if (kept === undefined) throw new Error("the run is not kept");
    const lines = kept.lines.map((line) => line.replace('"codes"', '"other"'));
    const resumed = resumeSession(gateLift(), { ...kept, lines }, { store, now: tickingClock() });
    expect(resumed).toMatchObject({ ok: false, message: expect.stringContaining("Line 2") });
  });

  it("resumes at any event with the run, the prompt and the hash that it had", async () => {
    await fc.assert(
      fc.asyncProperty(fc.array(fc.nat(1000), { minLength: 1, maxLength: 60 }), async (draws) => {
        const store = openMemoryRunStore();
        let session = await openGateLift(store);
        for (const [index, draw] of draws.entries()) {
          const answer = someAnswer(session, draw);
          if (answer === undefined) break;
          const sent = await session.send(answer);
          if (!sent.ok && sent.code !== "refused") throw new Error(sent.code);
          if (index % 7 !== 6) continue;
          const again = await resume(store);
          expect(runOf(again)).toEqual(runOf(session));
          expect(again.getStatus().hash).toBe(session.getStatus().hash);
          session = again;
        }
        const record = verifyRecord(await store.readLines(OPENING.run, 0));
        if (!record.ok) throw new Error(record.problem.message);
        const replayed = replayRecord(gateLift(), record.lines);
        expect(replayed.ok && replayed.run.path).toEqual(runOf(session).path);
      }),
      { numRuns: 25 },
    );
  }, 60_000);
});
