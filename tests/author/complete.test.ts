import { describe, expect, it } from "vitest";
import { parseDocument } from "yaml";
import { choicesAt } from "../../author/edits/complete.ts";
import { outlineOf } from "../../author/edits/outline.ts";
import { starterText } from "../../engine/procedure/starter.ts";

const outline = outlineOf(parseDocument(starterText("example")));
const at = (before: string, above: readonly string[] = []) => choicesAt(before, above, outline);

describe("choicesAt", () => {
  it("offers steps after goto, in lines and in braces", () => {
    expect(at("    goto: ")?.words).toEqual(outline.names.steps);
    const flow = "      low:  { under: 11 V, goto: fe";
    expect(at(flow)).toMatchObject({ from: flow.length - 2, what: "step" });
  });

  it("offers what each key cites", () => {
    expect(at("    conclude: ")?.what).toBe("fault");
    expect(at("    cautions: [live-supply, pa")?.words).toEqual(outline.names.cautions);
    expect(at("    needs: [")?.what).toBe("set-up");
    expect(at("    with: mu")?.what).toBe("instrument");
    expect(at("    signal: ")?.words).toContain("danger");
    expect(at("    end: ")?.words).toContain("no-fault-found");
  });

  it("offers faults as the rows of evidence", () => {
    expect(at("      fe", ["    evidence:"])?.words).toEqual([...outline.names.faults, "otherwise"]);
    expect(at("      fe", ["    bands:"])).toBeUndefined();
  });

  it("offers nothing in a comment or in plain text", () => {
    expect(at("    # goto: ")).toBeUndefined();
    expect(at("    say: Red lead to the ")).toBeUndefined();
  });
});
