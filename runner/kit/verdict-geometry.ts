import type { VerdictZone } from "./verdict-zones.ts";

/** A verdict's picture in its own coordinates: zones, limits, the reading and the hump of its doubt. */
export interface VerdictGeometry {
  readonly zones: readonly { readonly x: number; readonly width: number; readonly zone: VerdictZone }[];
  /** Limits in sight; `row` keeps the labels of close ones apart, `at` is where the label's middle stands. */
  readonly limits: readonly {
    readonly x: number;
    readonly value: number;
    readonly at: number;
    readonly row: number;
  }[];
  readonly reading: number;
  /** The reading lies beyond what is drawn, over range. */
  readonly beyond: "low" | "high" | undefined;
  /** SVG path of the normal density from the zones' upper edge upwards; nothing without a known doubt. */
  readonly hump: string | undefined;
}

export const PICTURE = { width: 360, zoneTop: 62, zoneHeight: 16, humpHeight: 46 } as const;

const LABEL_WIDTH = 74;
const HUMP_POINTS = 48;

/**
 * Where everything of a verdict's picture stands.
 * A close call is drawn near, eight times its doubt to either side; anything else with every limit in sight.
 */
export function verdictGeometry(
  value: number,
  u: number | undefined,
  zones: readonly VerdictZone[],
  near: boolean,
): VerdictGeometry {
  const ends = [...new Set(zones.flatMap((zone) => [zone.low, zone.high]))].filter(Number.isFinite);
  const [from, to] = domain(value, u, ends, near);
  const x = (v: number) => clamp(((v - from) / (to - from)) * PICTURE.width, 0, PICTURE.width);
  return {
    zones: zones
      .map((zone) => ({ x: x(zone.low), width: x(zone.high) - x(zone.low), zone }))
      .filter((drawn) => drawn.width > 0),
    limits: placed(
      ends.filter((end) => end >= from && end <= to).toSorted((a, b) => a - b),
      x,
    ),
    reading: x(value),
    beyond: Number.isFinite(value) ? undefined : value > 0 ? "high" : "low",
    hump: u === undefined || u <= 0 || !Number.isFinite(value) ? undefined : humpPath(value, u, from, to, x),
  };
}

function domain(
  value: number,
  u: number | undefined,
  ends: readonly number[],
  near: boolean,
): readonly [number, number] {
  if (near && u !== undefined && u > 0 && Number.isFinite(value)) return [value - 8 * u, value + 8 * u];
  const points = Number.isFinite(value) ? [...ends, value] : [...ends];
  if (points.length === 0) return [-1, 1];
  const low = Math.min(...points);
  const high = Math.max(...points);
  const doubt = Number.isFinite(value) ? 4 * (u ?? 0) : 0;
  const width = Math.max(high - low, doubt, Math.abs(high) * 0.2) || 1;
  // An over-range reading stands at the edge: leave it room behind the last limit.
  return [low - width * (value === -Infinity ? 0.5 : 0.25), high + width * (value === Infinity ? 0.5 : 0.25)];
}

/** Labels that would overlap go to the next row; none leaves the picture. */
function placed(ends: readonly number[], x: (v: number) => number): VerdictGeometry["limits"] {
  const lastInRow: number[] = [];
  return ends.map((value) => {
    const at = clamp(x(value), LABEL_WIDTH / 2, PICTURE.width - LABEL_WIDTH / 2);
    const free = lastInRow.findIndex((last) => at - last >= LABEL_WIDTH);
    const row = free < 0 ? lastInRow.length : free;
    lastInRow[row] = at;
    return { x: x(value), value, at, row };
  });
}

function humpPath(value: number, u: number, from: number, to: number, x: (v: number) => number): string {
  // Never narrower than can be seen: a doubt of nearly nothing is still a doubt.
  const drawnU = Math.max(u, ((to - from) / PICTURE.width) * 1.5);
  const points: string[] = [];
  for (let index = 0; index <= HUMP_POINTS; index += 1) {
    const at = value + ((index / HUMP_POINTS) * 8 - 4) * drawnU;
    if (at < from || at > to) continue;
    const height = PICTURE.humpHeight * Math.exp(-0.5 * ((at - value) / drawnU) ** 2);
    points.push(`${x(at).toFixed(2)} ${(PICTURE.zoneTop - height).toFixed(2)}`);
  }
  const first = points[0]?.split(" ")[0];
  const last = points.at(-1)?.split(" ")[0];
  return `M${first} ${PICTURE.zoneTop}L${points.join("L")}L${last} ${PICTURE.zoneTop}Z`;
}

function clamp(value: number, low: number, high: number): number {
  return Math.min(high, Math.max(low, value));
}
