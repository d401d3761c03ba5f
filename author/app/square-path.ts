/** Lines of a flowchart as draughtsmen draw them: straight down, across, straight down. */

export interface Point {
  readonly x: number;
  readonly y: number;
}

/** How far a corner is rounded, px. */
const ROUND = 7;
/** Where between two points a line goes across: nearer the second, beside which its words stand. */
const ACROSS = 0.72;
/** The arrow's tip covers the last of its line, px. */
const TIP = 4;
/** A side step smaller than this is drawn straight: a kink would only be seen as a slip of the pen, px. */
const STRAIGHT = 8;

/** Returns the SVG path through the points, down and across, its corners rounded; at least two points. */
export function squarePath(points: readonly Point[]): string {
  const [first, second] = points;
  if (!first || !second) return "";
  // The words of a line stand on its second point: a line that nearly meets them begins above them.
  const corners: Point[] = [isAbove(first, second) ? { x: second.x, y: first.y } : first];
  for (const [index, to] of points.slice(1).entries()) {
    const from = corners.at(-1) ?? first;
    const last = index === points.length - 2;
    if (isAbove(from, to)) corners.push({ x: from.x, y: to.y });
    else {
      const y = from.y + (to.y - from.y) * (last ? 1 - ACROSS : ACROSS);
      corners.push({ x: from.x, y }, { x: to.x, y }, to);
    }
  }
  return roundedPath(withoutTip(merged(corners)));
}

function isAbove(a: Point, b: Point): boolean {
  return Math.abs(a.x - b.x) < STRAIGHT;
}

/** Returns the path of a line from a box back into it, hung on its lower edge right of the middle. */
export function loopPath(left: number, right: number, edge: number, depth: number): string {
  const corners = [
    { x: left, y: edge },
    { x: left, y: edge + depth },
    { x: right, y: edge + depth },
    { x: right, y: edge + TIP },
  ];
  return roundedPath(corners);
}

/** Corners without those that lie on a straight line between their neighbours. */
function merged(corners: readonly Point[]): readonly Point[] {
  return corners.filter((corner, index) => {
    const before = corners[index - 1];
    const after = corners[index + 1];
    if (!before || !after) return true;
    const upright = near(before.x, corner.x) && near(corner.x, after.x);
    const level = near(before.y, corner.y) && near(corner.y, after.y);
    return !upright && !level;
  });
}

function withoutTip(corners: readonly Point[]): readonly Point[] {
  const before = corners.at(-2);
  const last = corners.at(-1);
  if (!before || !last) return corners;
  const length = Math.hypot(last.x - before.x, last.y - before.y);
  return [...corners.slice(0, -1), length > TIP ? toward(last, before, TIP) : last];
}

function roundedPath(corners: readonly Point[]): string {
  return corners
    .map((corner, index) => {
      const before = corners[index - 1];
      const after = corners[index + 1];
      if (!before) return `M${at(corner)}`;
      if (!after) return `L${at(corner)}`;
      const round = Math.min(ROUND, distance(before, corner) / 2, distance(corner, after) / 2);
      return `L${at(toward(corner, before, round))}Q${at(corner)} ${at(toward(corner, after, round))}`;
    })
    .join("");
}

function toward(from: Point, to: Point, by: number): Point {
  const length = distance(from, to);
  if (length === 0) return from;
  return { x: from.x + ((to.x - from.x) * by) / length, y: from.y + ((to.y - from.y) * by) / length };
}

function distance(a: Point, b: Point): number {
  return Math.hypot(a.x - b.x, a.y - b.y);
}

function near(a: number, b: number): boolean {
  return Math.abs(a - b) < 0.01;
}

function at({ x, y }: Point): string {
  return `${Math.round(x * 10) / 10},${Math.round(y * 10) / 10}`;
}
