import { describe, expect, it } from "vitest";
import { advance } from "../../../engine/machine/advance.ts";
import { openRun } from "../../../engine/machine/apply.ts";
import type { RunEvent } from "../../../engine/machine/event.ts";
import { promptOf } from "../../../engine/machine/prompt-of.ts";
import type { Run } from "../../../engine/machine/run.ts";
import { reportOf } from "../../../runner/app/report.ts";
import { hashOf, type Route, readRoute } from "../../../runner/app/route.ts";
import { trailItems } from "../../../runner/kit/trail-items.ts";
import { gateLift, OPENING } from "../session/texts.ts";

const procedure = gateLift();

/** Answers by step; what is not named is the first answer, a sound reading or done. */
const ANSWERS: Readonly<Record<string, string>> = { supply: "24.1", coil: "19.5", energise: "still" };

function nextEvent(run: Run, at: number, answers: typeof ANSWERS): RunEvent | undefined {
  const prompt = promptOf(procedure, run);
  switch (prompt.kind) {
    case "fact":
      return {
        type: "fact",
        at,
        fact: prompt.fact.id,
        value: prompt.fact.list ? ["C1234"] : { unknown: true },
        typed: "C1234",
      };
    case "cautions":
      return { type: "acknowledge", at, for: prompt.for, cautions: prompt.cautions.map((one) => one.id) };
    case "set-up":
      return { type: "set-up", at, setUp: prompt.setUp.id, change: prompt.change };
    case "ask":
      return {
        type: "answer",
        at,
        step: prompt.step,
        answer: answers[prompt.step] ?? prompt.answers[0]?.id ?? "",
      };
    case "measure":
      return {
        type: "reading",
        at,
        step: prompt.step,
        reading: answers[prompt.step] ?? "0.05",
        temperature: "20 degC",
      };
    case "do":
    case "repair":
    case "concluded":
      return { type: "done", at, step: prompt.step };
    default:
      return undefined;
  }
}

function walked(answers = ANSWERS): Run {
  let run = openRun(procedure, OPENING);
  for (let count = 0; count < 200; count += 1) {
    const event = nextEvent(run, OPENING.at + count * 1000, answers);
    if (event === undefined) return run;
    const next = advance(procedure, run, event);
    if (!next.ok) throw new Error(JSON.stringify(next.refusal));
    run = next.run;
  }
  throw new Error("the walk does not end");
}

describe("the close-out report", () => {
  const run = walked();
  const report = reportOf(procedure, run);
  it("names the proven fault with how sure it is, and the repair", () => {
    expect(report.faults.map((fault) => fault.title)).toEqual(["Lowering valve stuck"]);
    expect(report.faults[0]?.probability).toBeGreaterThan(0.8);
    expect(report.repairs.map((repair) => repair.id)).toEqual(["fit-valve"]);
  });
  it("tells the way in words, readings as typed with their unit", () => {
    const rows = report.rows.map((row) => [row.title, row.reading, row.result]);
    expect(rows).toContainEqual(["Supply at the plug", "24.1\u00a0V", "Good"]);
    expect(rows).toContainEqual(["Valve coil", "19.5\u00a0Ω", "within"]);
    expect(rows).toContainEqual(["Lowering valve stuck", "", "repaired"]);
  });
  it("tells the corrected value and the limits that a reading was held against", () => {
    const judged = new Map(report.rows.map((row) => [row.title, row.judged]));
    expect(judged.get("Valve coil")).toMatch(/^corrected 19\.\d+\s*Ω; right is between 14\s*Ω and 22\s*Ω$/);
    expect(judged.get("Supply at the plug")).toMatch(/^at least [\d.]+\s*V$/);
    expect(judged.get("Lowering valve stuck")).toBe("");
  });
  it("says of a close call once that it was one", () => {
    const { rows } = reportOf(procedure, walked({ ...ANSWERS, coil: "22.2" }));
    const coil = rows.filter((row) => row.title === "Valve coil");
    expect(coil.map((row) => [row.result, row.note])).toEqual([
      ["too close", ""],
      ["too close", ""],
      ["too close", ""],
    ]);
  });
  it("counts as verification what came after the repair", () => {
    expect(report.verification[0]?.title).toBe("Gate lowers");
    expect(report.verification.every((row) => row.title !== "Valve coil")).toBe(true);
  });
  it("lists everything that was taken apart, and that it is back", () => {
    expect(report.putBack.map((item) => item.setUp).toSorted()).toEqual([
      "gate-propped",
      "plug-apart",
      "shield-off",
    ]);
    expect(report.putBack.every((item) => item.done)).toBe(true);
  });
});

describe("the trail", () => {
  it("shows each answer once, without calls and the end, every one open to change", () => {
    const items = trailItems(procedure, walked());
    expect(items.map((item) => item.label)).not.toContain("Valve plug");
    expect(new Set(items.map((item) => item.seq)).size).toBe(items.length);
    expect(items.every((item) => item.amendable)).toBe(true);
  });
});

describe("addresses", () => {
  it("lead to the page they were made for, whatever the id holds", () => {
    const routes: readonly Route[] = [
      { page: "home" },
      { page: "start", procedure: "a/b #?%" },
      { page: "run", run: "0123" },
      { page: "report", run: "__proto__" },
      { page: "traffic" },
      { page: "traffic", procedure: "constructor" },
    ];
    for (const route of routes) expect(readRoute(hashOf(route))).toEqual(route);
  });
  it("that are broken lead home or to what can be read of them", () => {
    expect(readRoute("#/nowhere/1")).toEqual({ page: "home" });
    expect(readRoute("")).toEqual({ page: "home" });
    expect(readRoute("#/run/")).toEqual({ page: "home" });
    expect(readRoute("#/run/%E0%A4%A")).toEqual({ page: "run", run: "%E0%A4%A" });
  });
});
