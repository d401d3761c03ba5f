import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { squarePath } from "../../author/app/square-path.ts";

const numbers = (path: string) => [...path.matchAll(/-?\d+(?:\.\d+)?/g)].map(Number);

describe("squarePath", () => {
  it("goes straight down where nothing lies aside, and stops short for the arrow's tip", () => {
    expect(
      squarePath([
        { x: 10, y: 0 },
        { x: 10, y: 50 },
        { x: 10, y: 100 },
      ]),
    ).toBe("M10,0L10,96");
  });

  it("begins and ends as mermaid laid the line, upright at the end so that the arrow points down", () => {
    const point = fc.record({ x: fc.integer({ min: 0, max: 900 }), y: fc.integer({ min: 0, max: 60 }) });
    fc.assert(
      fc.property(fc.array(point, { minLength: 2, maxLength: 6 }), (steps) => {
        // Ranks lie below one another.
        const points = steps.map(({ x, y }, index) => ({ x, y: index * 100 + y }));
        const path = numbers(squarePath(points));
        const last = points.at(-1);
        expect(path[1]).toBe(points[0]?.y);
        expect(Math.abs((path[0] ?? 0) - (points[0]?.x ?? 0))).toBeLessThan(8);
        expect(path.at(-1)).toBeCloseTo((last?.y ?? 0) - 4, 0);
        expect(Math.abs((path.at(-2) ?? 0) - (last?.x ?? 0))).toBeLessThan(8);
      }),
    );
  });
});
