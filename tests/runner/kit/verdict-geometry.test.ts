import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { PICTURE, verdictGeometry } from "../../../runner/kit/verdict-geometry.ts";
import { limitsText, nearestLimit, type VerdictZone } from "../../../runner/kit/verdict-zones.ts";

function zone(outcome: string, low: number, high: number, tone: VerdictZone["tone"]): VerdictZone {
  return { outcome, label: outcome, low, lowIncluded: true, high, highIncluded: true, tone };
}

const COIL = [
  zone("below", -Infinity, 14, "outside"),
  zone("within", 14, 22, "inside"),
  zone("above", 22, Infinity, "outside"),
];
const FEED = [
  zone("dead", -Infinity, 2, "band"),
  zone("weak", 2, 21, "band"),
  zone("good", 21, Infinity, "band"),
];
const ohms = (value: number) => `${value} Ω`;

describe("the verdict's picture", () => {
  it("draws every limit in sight, and the reading between the limits it lies between", () => {
    const { limits, reading, zones } = verdictGeometry(19.2, 0.1, COIL, false);
    expect(limits.map((limit) => limit.value)).toEqual([14, 22]);
    expect(reading).toBeGreaterThan(limits[0]?.x ?? Infinity);
    expect(reading).toBeLessThan(limits[1]?.x ?? -Infinity);
    expect(zones.map((drawn) => drawn.zone.outcome)).toEqual(["below", "within", "above"]);
  });
  it("goes near a close call, so that the doubt can be seen on both sides of the limit", () => {
    const { limits, reading } = verdictGeometry(21.9, 0.2, COIL, true);
    expect(reading).toBe(PICTURE.width / 2);
    expect(limits.map((limit) => limit.value)).toEqual([22]);
    expect((limits[0]?.x ?? 0) - reading).toBeGreaterThan(8);
  });
  it("stands an over-range reading at the edge, without a hump", () => {
    const { reading, beyond, hump } = verdictGeometry(Infinity, undefined, COIL, false);
    expect(reading).toBe(PICTURE.width);
    expect(beyond).toBe("high");
    expect(hump).toBeUndefined();
  });
  it("draws no hump without a known doubt", () => {
    expect(verdictGeometry(19.2, undefined, COIL, false).hump).toBeUndefined();
  });
  it("keeps the labels of close limits apart by a second row", () => {
    const { limits } = verdictGeometry(500, 1, [...FEED.slice(0, 1), zone("a", 2, 2.1, "band")], false);
    expect(new Set(limits.map((limit) => limit.row)).size).toBe(limits.length);
  });
  it("keeps everything inside the picture, whatever the numbers are", () => {
    const number = fc.double({ min: -1e6, max: 1e6, noNaN: true });
    fc.assert(
      fc.property(
        number,
        fc.double({ min: 1e-9, max: 1e3, noNaN: true }),
        number,
        fc.boolean(),
        (value, u, edge, near) => {
          const zones = [zone("low", -Infinity, edge, "band"), zone("high", edge, Infinity, "band")];
          const drawn = verdictGeometry(value, u, zones, near);
          const xs = [drawn.reading, ...drawn.limits.map((limit) => limit.x)];
          for (const { x, width } of drawn.zones) xs.push(x, x + width);
          for (const x of xs) {
            expect(x).toBeGreaterThanOrEqual(0);
            expect(x).toBeLessThanOrEqual(PICTURE.width + 1e-6);
          }
          expect(drawn.hump).not.toMatch(/NaN|undefined|Infinity/);
          const width = drawn.zones.reduce((sum, one) => sum + one.width, 0);
          expect(width).toBeCloseTo(PICTURE.width, 6);
        },
      ),
    );
  });
});

describe("limits in words", () => {
  it("says both ends, one end, or none", () => {
    expect(limitsText(zone("within", 14, 22, "inside"), ohms)).toBe("between 14 Ω and 22 Ω");
    expect(limitsText(zone("good", 21, Infinity, "band"), ohms)).toBe("at least 21 Ω");
    expect(limitsText({ ...zone("dead", -Infinity, 2, "band"), highIncluded: false }, ohms)).toBe(
      "under 2 Ω",
    );
    expect(limitsText(zone("any", -Infinity, Infinity, "band"), ohms)).toBe("any reading");
  });
  it("names the limit that a close call is close to", () => {
    expect(nearestLimit(21.9, COIL, ohms)).toBe("at most 22 Ω");
    expect(nearestLimit(14.1, COIL, ohms)).toBe("at least 14 Ω");
    expect(nearestLimit(20.9, FEED, ohms)).toBe("21 Ω, where “weak” becomes “good”");
  });
});
