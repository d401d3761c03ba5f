import { describe, expect, it } from "vitest";
import {
  DRAWING_TOKENS,
  type DrawingColours,
  drawingTheme,
  MAX_EDGES,
  MAX_TEXT,
} from "../../author/app/drawing-theme.ts";

const colours = Object.fromEntries(
  DRAWING_TOKENS.map((token, index) => [token, `rgb(${index}, ${index}, ${index})`]),
) as DrawingColours;

describe("drawingTheme", () => {
  it("takes every colour from the tokens", () => {
    const { themeVariables } = drawingTheme(colours);
    const given = new Set(Object.values(colours));
    const colourKeys = Object.entries(themeVariables ?? {}).filter(([key]) => key !== "fontSize");
    expect(colourKeys.length).toBeGreaterThan(10);
    for (const [key, value] of colourKeys) expect([key, given.has(String(value))]).toEqual([key, true]);
  });

  it("draws strictly, without HTML, within set limits that no text can lift", () => {
    const config = drawingTheme(colours);
    expect(config).toMatchObject({
      securityLevel: "strict",
      htmlLabels: false,
      maxEdges: MAX_EDGES,
      maxTextSize: MAX_TEXT,
    });
    expect(config.secure).toEqual(
      expect.arrayContaining(["securityLevel", "maxEdges", "maxTextSize", "htmlLabels"]),
    );
  });
});
