import { describe, expect, it } from "vitest";
import { figuresOf } from "../../../engine/soundness/figures.ts";
import { act, ask, build, call, conclude, end, evidence, measure, repair, setUp } from "./build-procedure.ts";

const ENDS = [end("refer", "referred"), end("mended", "fixed")];

describe("the figures of a procedure", () => {
  it("count steps, branches, ways and McCabe's number", () => {
    const figures = figuresOf(
      build(
        [
          ask("a", { yes: "b", no: "refer" }),
          ask("b", { yes: "refer", no: "refer2" }),
          ENDS[0],
          end("refer2", "referred"),
        ].flatMap((each) => each ?? []),
      ),
    );
    expect(figures).toMatchObject({
      steps: 4,
      branches: 4,
      paths: "3",
      shortestSteps: 2,
      longestSteps: 3,
      cyclomatic: 3,
    });
  });

  it("count ways exactly beyond what a double holds", () => {
    const steps = Array.from({ length: 100 }, (_, index) => {
      const next = index === 99 ? "refer" : `s${index + 1}`;
      return ask(`s${index}`, { yes: next, no: next });
    });
    expect(figuresOf(build([...steps, end("refer", "referred")])).paths).toBe((2n ** 100n).toString());
  });

  it("walk a bounded loop out to its bound", () => {
    // again 0, 1 or 2 times and then good, or used up and on by else.
    const procedure = build([
      ask("a", { again: { goto: "a", atMost: 2, else: "refer" }, good: "refer" }),
      end("refer", "referred"),
    ]);
    expect(figuresOf(procedure)).toMatchObject({ paths: "4", shortestSteps: 2, longestSteps: 4 });
  });

  it("give no count where a loop has no bound", () => {
    const procedure = build([ask("a", { again: "a", good: "refer" }), end("refer", "referred")]);
    expect(figuresOf(procedure)).toMatchObject({ paths: null, longestSteps: null, expectedMinutes: null });
  });

  it("expect no minutes where no fault can be there", () => {
    const steps = [ask("a", { yes: "refer", no: "refer" }), end("refer", "referred")];
    expect(figuresOf(build(steps, { faults: { f: 0, g: 0 } })).expectedMinutes).toBeNull();
    expect(figuresOf(build(steps, { faults: { f: 0, g: 1 } })).expectedMinutes).not.toBeNull();
  });

  it("say what is detected and how finely it is isolated, by priors", () => {
    // f0 alone shows yes at a; f1 and f2 both show bad at b, which is likely under nothing else; f3 shows nothing.
    const procedure = build(
      [
        ask(
          "a",
          { yes: "refer", no: "b" },
          { evidence: evidence({ f0: { yes: 0.9 }, otherwise: { no: 0.9 } }) },
        ),
        ask(
          "b",
          { bad: "refer", good: "refer" },
          { evidence: evidence({ f1: { bad: 0.9 }, f2: { bad: 0.8 }, otherwise: { good: 0.9 } }) },
        ),
        end("refer", "referred"),
      ],
      { faults: { f0: 4, f1: 3, f2: 1, f3: 2 } },
    );
    const { ambiguityGroups, detected, isolatedToOne, meanGroup } = figuresOf(procedure);
    expect(ambiguityGroups).toEqual([["f1", "f2"], ["f0"]]);
    expect([detected, isolatedToOne, meanGroup]).toEqual([0.8, 0.5, 1.5]);
  });

  it("reckon minutes with each set-up once", () => {
    // Set-up 5 and 2 back. a takes 4; b takes 6 and comes in half of the cases; conclusion and repair after that.
    const procedure = build(
      [
        ask(
          "a",
          { yes: "b", no: "refer" },
          { minutes: 4, needs: ["off"], evidence: evidence({ otherwise: { yes: 0.5 } }) },
        ),
        measure(
          "b",
          { low: ["under 1 V", "bad"], high: ["from 1 V", "bad"] },
          { minutes: 6, needs: ["off"] },
        ),
        conclude("bad", "f", { verify: "again", repairs: ["fit"] }, { minutes: 0 }),
        ask("again", { yes: "mended", no: "refer" }, { minutes: 3 }),
        { ...end("refer", "referred"), minutes: 0 },
        { ...end("mended", "fixed"), minutes: 0 },
      ],
      { faults: { f: 1 }, setUps: [setUp("off")], repairs: [repair("fit", { minutes: 30 })] },
    );
    expect(figuresOf(procedure)).toMatchObject({
      expectedMinutes: 4 + 3 + 7,
      worstMinutes: 4 + 6 + 30 + 3 + 7,
    });
  });

  it("count a called procedure's steps, and a return once", () => {
    const procedure = build([
      call("c", "c/look", { "no-fault-found": "refer" }),
      { ...ask("c/look", { ok: "c/none", fine: "c/none2" }), scope: "c/" },
      { ...end("c/none", "no-fault-found", "c"), scope: "c/" },
      { ...end("c/none2", "no-fault-found", "c"), scope: "c/" },
      act("lost", "refer"),
      end("refer", "referred"),
    ]);
    expect(figuresOf(procedure)).toMatchObject({ steps: 6, paths: "2" });
  });
});
