import { describe, expect, it } from "vitest";
import { learn } from "../../../engine/audit/learn.ts";
import { type Lesson, lessonFor, lessonOf } from "../../../engine/audit/lesson.ts";
import { readAnswers } from "../../../engine/machine/answers.ts";
import { walkAnswers } from "../../../engine/machine/walk.ts";
import { layEquipment, loadEquipment } from "../../../engine/procedure/equipment.ts";
import { loadProcedure } from "../../../engine/procedure/load.ts";
import { library } from "../../trees.ts";

const TEXT = `procedure: lamp-dark
title: Lamp dark
revision: 1
complaint: The lamp is dark.
faults:
  feed-weak: { title: Feed weak, prior: 1, repair: mend }
  lamp-burnt: { title: Lamp burnt, prior: 1, repair: mend }
repairs:
  mend: { minutes: 1, do: [{ say: Mend it. }] }
instruments:
  meter: { title: Meter, accuracy: { voltage: { reading: 1 % } } }
specifications:
  feed: { title: Feed, from: 1 V }
start: volts
steps:
  volts:
    measure: voltage
    say: Read the feed.
    unit: V
    bands:
      dead: { under: 1 V, goto: feed-bad }
      good: { from: 1 V, goto: lamp-bad }
    evidence: { feed-weak: { dead: 0.9 }, otherwise: { good: 0.9 } }
  feed-bad: { conclude: feed-weak, verify: works }
  lamp-bad: { conclude: lamp-burnt, verify: works }
  works: { ask: Is it bright?, answers: { "yes": { goto: mended }, "no": { goto: handed-on } } }
  mended: { end: fixed }
  handed-on: { end: referred }
`;
const later = (...changes: readonly (readonly [string, string])[]) =>
  changes.reduce((text, [from, to]) => text.replaceAll(from, to), TEXT);

function load(text: string) {
  const { procedure, findings } = loadProcedure(text, "lamp-dark.yaml", library);
  if (procedure === undefined) throw new Error(JSON.stringify(findings));
  return procedure;
}

function lessonIn(procedure: ReturnType<typeof load>, answers: string): Lesson {
  const read = readAnswers(`${answers}\nworks: "yes"`, "answers.yaml", procedure);
  if (!read.ok) throw new Error(JSON.stringify(read));
  const lesson = lessonOf(procedure, walkAnswers(procedure, { run: "one", at: 0 }, read.answers).run);
  if (typeof lesson === "string") throw new Error(lesson);
  return lesson;
}

/** What the latest reading of a run on one text is by another one. */
function learnedFrom(from: string, to: string, reading = "9 V") {
  const old = load(from);
  return lessonFor(load(to), lessonIn(old, `volts: ${reading}`), old).answers.get("volts");
}

describe("a recorded reading, for another revision", () => {
  it("is what it is by the new limits where those are plain numbers", () => {
    const at11 = later(["1 V", "11 V"]);
    expect(learnedFrom(TEXT, at11)).toBe("dead");
    expect(learnedFrom(TEXT, at11, "11 V")).toBe("good");
    expect(learnedFrom(at11, TEXT)).toBe("good");
    expect(learnedFrom(TEXT, later(["under: 1 V", "to: 9 V"], ["from: 1 V", "over: 9 V"]))).toBe("dead");
    // Written so, 9 in 10 count as 9 of 10 runs; with ten more that showed it, 19 of 20.
    const old = load(TEXT);
    const lesson = { ...lessonFor(load(at11), lessonIn(old, "volts: 9 V"), old), fault: "feed-weak" };
    const [dead] = learn(load(at11), Array(10).fill(lesson), 10).shares;
    expect([dead?.row, dead?.outcome, dead?.count, dead?.of]).toEqual(["feed-weak", "dead", 10, 10]);
    expect(dead?.learned).toBeCloseTo(0.95, 12);
  });

  it("stays what it was where only words, units or the order of the bands differ", () => {
    expect(
      learnedFrom(TEXT, later(["Read the feed.", "Take the feed."], ["dead: {", "dead: { label: Off,"])),
    ).toBe("good");
    expect(learnedFrom(TEXT, later(["1 V", "1000 mV"], ["unit: V", "unit: mV"]))).toBe("good");
    const [dead, good] = TEXT.split("\n").filter((line) => /^ {6}(dead|good): /.test(line));
    expect(learnedFrom(TEXT, TEXT.replace(`${dead}\n${good}`, `${good}\n${dead}`))).toBe("good");
  });

  it("is judged in the new unit where that is another", () => {
    expect(learnedFrom(TEXT, later(["1 V", "11000 mV"], ["unit: V", "unit: mV"]))).toBe("dead");
  });

  it("is left out where what is judged is reckoned otherwise", () => {
    const doubled = later(["unit: V", "unit: V\n    value: reading * 2.0"]);
    expect(learnedFrom(TEXT, doubled)).toBeUndefined();
    expect(learnedFrom(doubled, TEXT)).toBeUndefined();
    expect(learnedFrom(doubled, doubled.replace("Read the feed.", "Take it."))).toBe("good");
    expect(learnedFrom(doubled, later(["unit: V", "unit: V\n    value: reading * 3.0"]))).toBeUndefined();
  });

  it("is left out where a changed limit hangs on what the record alone does not say", () => {
    const facts = "facts: { length: { title: Length, ask: How long?, measure: length, unit: m } }\nstart:";
    const table = (far: string) =>
      later(["1 V", `{ by: facts.length, table: [[1 m, 1 V], [9 m, ${far}]] }`], ["start:", facts]);
    const old = load(table("2 V"));
    const lesson = lessonIn(old, "facts: { length: 5 m }\nvolts: 9 V");
    expect(lessonFor(load(table("2 V")), lesson, old).answers.get("volts")).toBe("good");
    expect(lessonFor(load(table("3 V")), lesson, old).answers.size).toBe(0);
  });

  it("is left out where the new limits call it too close and lead elsewhere", () => {
    const borderline = ["    evidence:", "    borderline: { goto: handed-on }\n    evidence:"] as const;
    const metered = later(borderline, ["unit: V", "unit: V\n    with: meter"]);
    expect(learnedFrom(metered, metered.replaceAll("1 V", "9.01 V"))).toBeUndefined();
    expect(learnedFrom(metered, metered.replaceAll("1 V", "11 V"))).toBe("dead");
  });

  it("is judged by the sheet that it was taken with, whatever the text says itself", () => {
    const cited = later(["under: 1 V", "under: feed.from"], ["from: 1 V, goto", "from: feed.from, goto"]);
    const sheet = loadEquipment(
      "equipment: lamp-40\ntitle: Lamp 40\nspecifications: { feed: { title: Feed, from: 5 V, source: Plate } }\n",
      "lamp-40.yaml",
    );
    if (sheet.sheet === undefined) throw new Error(JSON.stringify(sheet.findings));
    const laid = layEquipment(load(cited), sheet.sheet).procedure;
    const lesson = lessonIn(laid, "volts: 4 V");
    expect(lesson.answers.get("volts")).toBe("dead");
    for (const text of [cited, cited.replace("from: 1 V", "from: 2 V")])
      expect(lessonFor(load(text), lesson, laid).answers.get("volts")).toBe("dead");
    expect(lessonFor(load(TEXT), lesson, laid).answers.get("volts")).toBe("good");
  });
});
