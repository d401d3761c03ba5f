import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { findTraversals } from "../../../engine/audit/traversal.ts";
import { replayRecord, verifyRecord } from "../../../engine/machine/record.ts";
import { loadProcedure } from "../../../engine/procedure/load.ts";
import type { Procedure } from "../../../engine/procedure/model.ts";
import { DEAD_HORN, type Deed, OPENED, writeRecord } from "../../runner/server/shop.ts";

const trees = join(import.meta.dirname, "../../runner/server/trees");
const textOf = (file: string) => readFileSync(join(trees, `${file}.yaml`), "utf8");
const { procedure: horn } = loadProcedure(textOf("horn-stays-silent"), "horn-stays-silent.yaml", {
  procedure: textOf,
  equipment: (id) => textOf(`equipment/${id}`),
});

/** The traversals of those deeds, one a minute. */
function traversalsOf(deeds: readonly Deed[], procedure = horn) {
  if (procedure === undefined) throw new Error("the procedure has errors");
  const verified = verifyRecord(writeRecord(procedure, "r1", deeds));
  const replayed = verified.ok ? replayRecord(procedure, verified.lines) : undefined;
  if (!replayed?.ok) throw new Error("the record does not hold");
  return findTraversals(procedure, replayed.run);
}

/** The procedure with a free order, in what it calls as well. */
function inFreeOrder(procedure: Procedure): Procedure {
  const steps = [...procedure.steps].map(
    ([id, step]) => [id, step.kind === "call" ? { ...step, freeOrder: true } : step] as const,
  );
  return { ...procedure, freeOrder: true, steps: new Map(steps) };
}

describe("the traversals of a run", () => {
  it("are its branches in the order walked, with the time since the one before; the end is none", () => {
    const found = traversalsOf(DEAD_HORN).map(({ step, outcome, seq, seconds }) => [
      step,
      outcome,
      seq,
      seconds,
    ]);
    expect(found).toEqual([
      ["press", "yes", 1, 60],
      ["fuse/look", "whole", 2, 60],
      ["fuse", "no-fault-found", 2, 60],
      ["feed", "good", 3, 60],
      ["horn", "repaired", 4, 60],
      ["press-again", "yes", 6, 120],
    ]);
  });

  it("count an answer given by choice once, as its step's, when it was given", () => {
    if (horn === undefined) throw new Error("the procedure has errors");
    const found = traversalsOf(
      [
        { type: "answer", step: "press", answer: "yes" },
        { type: "choose", step: "feed" },
        { type: "reading", step: "feed", reading: "12 V" },
        { type: "answer", step: "fuse/look", answer: "whole" },
      ],
      // Nothing is proven by it alone: the written order goes on and comes to it.
      { ...inFreeOrder(horn), certainty: 1 },
    );
    expect(found.map(({ step, outcome, seq }) => [step, outcome, seq])).toEqual([
      ["press", "yes", 1],
      ["feed", "good", 3],
      ["fuse/look", "whole", 4],
      ["fuse", "no-fault-found", 4],
    ]);
  });

  it("time a call from where it was entered to where it returned", () => {
    const found = traversalsOf([
      { type: "answer", step: "press", answer: "yes" },
      { type: "answer", step: "fuse/look", answer: "broken" },
      { type: "done", step: "fuse/broken" },
      { type: "answer", step: "fuse/again", answer: "yes" },
    ]);
    expect(found.at(-1)).toMatchObject({ step: "fuse", outcome: "fault-found", seconds: 180 });
  });

  it("leave out what an amendment left behind, and have no time where the order is broken", () => {
    const found = traversalsOf([
      ...DEAD_HORN.slice(0, 3),
      {
        type: "amend",
        seq: 2,
        event: { type: "answer", step: "fuse/look", answer: "broken", at: OPENED + 240_000 },
      },
    ]);
    expect(found.map(({ step, outcome }) => `${step}:${outcome}`)).toEqual(["press:yes", "fuse/look:broken"]);
    const kept = traversalsOf([
      ...DEAD_HORN.slice(0, 3),
      {
        type: "amend",
        seq: 2,
        event: { type: "answer", step: "fuse/look", answer: "whole", at: OPENED + 240_000 },
      },
    ]);
    expect(kept.map(({ step, seconds }) => [step, seconds])).toEqual([
      ["press", 60],
      ["fuse/look", 180],
      ["fuse", 180],
      ["feed", undefined],
    ]);
  });

  it("are those so far of a run that is still open, and none of one just opened", () => {
    expect(traversalsOf([])).toEqual([]);
    expect(traversalsOf(DEAD_HORN.slice(0, 1))).toHaveLength(1);
  });
});
