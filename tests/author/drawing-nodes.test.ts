import { describe, expect, it } from "vitest";
import { type Box, nearestBox } from "../../author/app/drawing-nodes.ts";

const top: Box = { step: "top", x: 100, y: 0 };
const left: Box = { step: "left", x: 0, y: 100 };
const middle: Box = { step: "middle", x: 110, y: 100 };
const bottom: Box = { step: "bottom", x: 100, y: 300 };
const boxes = [top, left, middle, bottom];

describe("nearestBox", () => {
  it("goes to the nearest box ahead and prefers the one straight on", () => {
    expect(nearestBox(boxes, top, "down")).toBe(middle);
    expect(nearestBox(boxes, middle, "left")).toBe(left);
    expect(nearestBox(boxes, bottom, "up")).toBe(middle);
  });

  it("stays where nothing lies ahead", () => {
    expect(nearestBox(boxes, top, "up")).toBeUndefined();
    expect(nearestBox([top], top, "down")).toBeUndefined();
  });
});
