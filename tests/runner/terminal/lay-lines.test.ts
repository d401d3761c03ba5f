import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { layLine, textWidth } from "../../../runner/terminal/lay-lines.ts";

describe("a line laid out", () => {
  it("never leaves the columns it has, and loses no letter", () => {
    const text = fc.string({
      unit: fc.constantFrom("a", "é", "é", "漢", "😀", " ", "\n", "-"),
      maxLength: 80,
    });
    fc.assert(
      fc.property(
        text,
        fc.integer({ min: 14, max: 60 }),
        fc.constantFrom("", "| ", "12. "),
        (words, width, first) => {
          const rows = layLine({ text: words, first }, width, false);
          expect(rows.filter((row) => textWidth(row) > width)).toEqual([]);
          const letters = rows.map((row, index) => row.slice(index === 0 ? first.length : 0)).join("");
          expect(letters.replace(/\s/g, "")).toBe(words.replace(/\s/g, ""));
        },
      ),
    );
  });

  it("goes on below its own beginning, with the bar of a caution on every row", () => {
    expect(layLine({ text: "Undo the four screws.", first: "1. " }, 14, false)).toEqual([
      "1. Undo the",
      "   four",
      "   screws.",
    ]);
    expect(layLine({ text: "Ears and eyes", first: "| ", rest: "| " }, 10, false)).toEqual([
      "| Ears and",
      "| eyes",
    ]);
  });

  it("shows what is hidden in a text and obeys none of it", () => {
    expect(layLine("Red \u001b[31m\u202e", 40, true)).toEqual(["Red \\x1b[31m\\u202e"]);
  });

  it("paints a signal word with its colours, white on red for danger, and only where it may", () => {
    const line = { text: "DANGER", look: "danger" } as const;
    expect(layLine(line, 40, true)).toEqual(["\u001b[1;97;48;5;160m DANGER \u001b[0m"]);
    expect(layLine(line, 40, false)).toEqual(["DANGER"]);
  });
});
