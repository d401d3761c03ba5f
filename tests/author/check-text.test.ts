import { describe, expect, it } from "vitest";
import { checkText } from "../../author/app/check-text.ts";
import { toldWords, wayOf, wayWords } from "../../author/app/way-words.ts";
import { walkWitness } from "../../author/app/witness-run.ts";
import { applyEdits } from "../../author/edits/text-edit.ts";
import { starterText } from "../../engine/procedure/starter.ts";

const sound = starterText("example");
const check = (text: string) =>
  checkText({ version: 7, id: "example", text, called: new Map(), equipment: new Map() });

describe("checkText", () => {
  it("finds a misspelt step, places it, and mends it to the very text before", () => {
    const text = sound.replace("goto: ground }", "goto: grond }");
    const [first] = check(text).findings;
    expect(first?.finding.code).toBe("unknown-step");
    expect(text.slice(first?.placed.from, first?.placed.to)).toBe("grond");
    expect(applyEdits(text, first?.mend?.edits ?? [])).toBe(sound);
  });

  it("says what may only follow from a misspelt name", () => {
    const { findings } = check(sound.replace("goto: ground }", "goto: grond }"));
    const direct = findings.filter(({ follows }) => !follows);
    expect(direct.map(({ finding }) => finding.code)).toEqual(["unknown-step"]);
    expect(findings.length).toBeGreaterThan(1);
  });

  it("shows a gap of one number by its way and mends it", () => {
    const text = sound.replace("good: { from: 11 V,  goto: ground }", "good: { over: 11 V,  goto: ground }");
    const report = check(text);
    const gap = report.findings.find(({ finding }) => finding.code === "reading-gap");
    expect(gap?.mend?.label).toBe("Write “from: 11 V”");
    expect(applyEdits(text, gap?.mend?.edits ?? [])).toBe(sound);
    const way = gap ? wayOf(gap.finding) : [];
    expect(way.map((row) => wayWords(report.procedure, row))).toEqual(["Present Yes", "Feed 11.00 V"]);
  });

  it("walks a witness as far as it leads and is refused where the gap is", () => {
    const report = check(sound.replace("from: 11 V,  goto: ground", "over: 11 V,  goto: ground"));
    const gap = report.findings.find(({ finding }) => finding.code === "reading-gap");
    if (!gap || !report.procedure) throw new Error("no gap was found");
    const { run, at, refusal } = walkWitness(report.procedure, wayOf(gap.finding), 0);
    expect(run.step).toBe("feed");
    expect(at).toBe("feed");
    expect(refusal).toMatchObject({ code: "bad-reading", problem: { code: "no-band" } });
  });

  it("walks a witness by the limits that it tells of an open specification", () => {
    const open = "specifications:\n  least: { title: Least feed, ask: true, unit: V, limits: [from] }\n\n";
    const text = sound
      .replace("start: present\n", `${open}start: present\n`)
      .replace("under: 11 V, goto: feed-found", "under: least.from, goto: feed-found")
      .replace("from: 11 V,  goto: ground }", "over: least.from,  goto: ground }");
    const report = check(text);
    const gap = report.findings.find(({ finding }) => finding.code === "reading-gap");
    if (!gap || !report.procedure) throw new Error("no gap was found");
    const way = wayOf(gap.finding);
    expect(way.flatMap((row) => toldWords(report.procedure, row))).toEqual(["Least feed from 1 V"]);
    const { run, refusal } = walkWitness(report.procedure, way, 0);
    expect(run.step).toBe("feed");
    expect(refusal).toMatchObject({ code: "bad-reading", problem: { code: "no-band" } });
  });

  it("keeps the names of a text that is written wrongly, and says that it is", () => {
    const report = check(sound.replace("start: present", "start: [present"));
    expect(report.broken).toBe(true);
    expect(check(sound).broken).toBe(false);
    expect(report.walkable).toBe(false);
    expect(report.outline?.title).toBe("Example");
    expect(report.findings.length).toBeGreaterThan(0);
  });

  it("survives a text that is none", () => {
    for (const text of ["", "\u0000\u0001", "- a\n- b\n", `${"[".repeat(10_000)}`]) {
      expect(check(text).findings[0]?.finding.severity).toBe("error");
    }
  });
});
