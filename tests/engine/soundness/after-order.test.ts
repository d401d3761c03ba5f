import { describe, expect, it } from "vitest";
import type { Step } from "../../../engine/procedure/model.ts";
import { checkProcedure } from "../../../engine/soundness/check.ts";
import { act, ask, build, conclude, end } from "./build-procedure.ts";

const REFER = end("refer", "referred");

function told(...steps: readonly Step[]) {
  return checkProcedure(build([...steps, REFER, end("mended", "fixed")], { faults: { f: 1 } }))
    .filter(({ code }) => code === "wrong-shape")
    .map(({ severity, step, params, node, witness }) => ({
      severity,
      step,
      other: params.other,
      at: node.path.slice(-2),
      way: witness?.map((row) => `${row.step} ${row.outcome}`),
    }));
}

describe("a step that is to come after another one", () => {
  it("must not come before it in the written order", () => {
    expect(
      told(ask("look", { yes: "refer", no: "safe" }, { after: ["safe"] }), act("safe", "refer")),
    ).toEqual([{ severity: "error", step: "look", other: "safe", at: ["after", 0], way: ["look no"] }]);
  });

  it("is found on the one way that comes to it first", () => {
    const steps = (first: string) => [
      ask("begin", { a: "safe", b: first }),
      act("safe", "look"),
      ask("look", { once: "refer", more: { goto: "safe", atMost: 1, else: "refer" } }, { after: ["safe"] }),
    ];
    expect(told(...steps("look")).map(({ way }) => way)).toEqual([["begin b", "look more"]]);
    expect(told(...steps("safe"))).toEqual([]);
  });

  it("may stand on a way that never comes to the other one, but behind a repair", () => {
    const steps = [
      ask("begin", { a: "safe", b: "look" }),
      act("safe", "refer"),
      ask("look", { bad: "found", good: "refer" }, { after: ["safe"] }),
      conclude("found", "f", { verify: "again" }),
      ask("again", { yes: "mended", no: { goto: "begin", atMost: 1, else: "refer" } }),
    ];
    expect(told(...steps)).toEqual([]);
  });

  it("can't come after one that is to come after it", () => {
    const circle = [act("one", "two", { after: ["two"] }), act("two", "refer", { after: ["one"] })];
    expect(told(...circle).map(({ step, other }) => [step, other])).toEqual([["one", "two"]]);
  });
});
