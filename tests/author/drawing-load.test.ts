import { describe, expect, it } from "vitest";
import { AT_MOST, AT_ONCE, drawingLoad } from "../../author/app/drawing-load.ts";

/** A chain of boxes, each of which also leads to the last one. */
const fan = (count: number) =>
  Array.from({ length: count }, (_, i) => [
    `  n${i} e${i}@-->|"yes"| n${i + 1}`,
    `  n${i} f${i}@==>|"no"| n${count}`,
  ])
    .flat()
    .join("\n");

describe("drawingLoad", () => {
  it("draws an ordinary procedure at once", () => {
    expect(drawingLoad(fan(40))).toBeLessThan(AT_ONCE);
  });

  it("does not draw what would hold up the page for minutes", () => {
    expect(drawingLoad(fan(900))).toBeGreaterThan(AT_MOST);
  });

  it("counts lines that pass others, and takes circles as they come", () => {
    const short = "  a e0@--> b\n  b e1@--> c\n  c e2@--> d";
    expect(drawingLoad(`${short}\n  a e3@--> d`)).toBeGreaterThan(drawingLoad(`${short}\n  a e3@--> b`));
    expect(drawingLoad(`${short}\n  d e3@--> a\n  a e4@--> a`)).toBeLessThan(AT_ONCE);
  });

  it("takes a chain of 20,000 boxes without running out of stack", () => {
    const chain = Array.from({ length: 20_000 }, (_, i) => `  n${i} e${i}@--> n${i + 1}`).join("\n");
    expect(drawingLoad(chain)).toBeGreaterThan(AT_MOST);
  });
});
