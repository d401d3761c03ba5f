import { describe, expect, it } from "vitest";
import { onwardText } from "../../../runner/app/onward-text.ts";
import { gateLift } from "../session/texts.ts";

const procedure = gateLift();
const button = (what: string) =>
  onwardText({ kind: "cautions", for: what, next: "", cautions: [] }, procedure);

describe("the button behind a verdict", () => {
  it("names the repair, not the step that concludes", () => {
    const conclusion = [...procedure.steps.values()].find((step) => step.kind === "conclude" && step.verify);
    const repair =
      conclusion?.kind === "conclude" ? procedure.repairs.get(conclusion.repairs[0] ?? "") : undefined;
    if (conclusion === undefined || repair === undefined) throw new Error("no repair in the gate lift");
    expect(button(conclusion.id).toLowerCase()).toBe(`on to the repair: ${repair.title}`.toLowerCase());
  });

  it("names the set-up that the cautions stand before, made or put back", () => {
    expect(button("set-up gate-propped")).toBe("First: Gate propped");
    expect(button("put-back gate-propped")).toBe("Put back: Gate propped");
  });

  it("names the step where nothing stands between", () => {
    expect(button("supply")).toBe("On to: Supply at the plug");
    expect(button("constructor")).toBe("On to what comes next");
  });
});
