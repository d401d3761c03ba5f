/** Redraws the lines of mermaid's picture, which it draws slanted, and frees the words of loops. */
import { loopPath, type Point, squarePath } from "./square-path.ts";

/** How far a loop hangs below its box, px. */
const LOOP_DEPTH = 20;
const MARGIN = 8;
/** Height of a decision as a share of its width: mermaid draws it square, which wastes the page. */
const FLAT = 0.64;
/** How near to an edge of a decision a line's end must lie to belong to it, px. */
const TOUCH = 4;

/** A decision as mermaid drew it: a square on its corner. */
interface Decision extends Point {
  /** From the middle to a corner, px. */
  readonly reach: number;
}

/** Redraws every line of a picture that stands in the page, and fits its frame anew. */
export function squareEdges(svg: SVGSVGElement): void {
  const nodes = [...svg.querySelectorAll<SVGGElement>("g.node")];
  const decisions = nodes.flatMap(flatten);
  for (const path of svg.querySelectorAll<SVGPathElement>("path.flowchart-link")) {
    const points = pointsOf(path).map((point) => onFlat(decisions, point));
    const [first] = points;
    const last = points.at(-1);
    if (!first || !last || points.length < 2) continue;
    if (isLoop(points, first, last)) hangLoop(svg, nodes, path, first, last);
    else path.setAttribute("d", squarePath(points));
    if (path.classList.contains("edge-thickness-thick")) labelOf(svg, path)?.classList.add("way");
  }
  const root = svg.querySelector<SVGGElement>("g");
  const box = root?.getBBox();
  if (!box || box.width === 0) return;
  svg.setAttribute(
    "viewBox",
    [box.x - MARGIN, box.y - MARGIN, box.width + 2 * MARGIN, box.height + 2 * MARGIN].join(" "),
  );
}

/** Makes a decision flat; gives it as it was, and nothing for any other box. */
function flatten(node: SVGGElement): readonly Decision[] {
  const shape = node.querySelector<SVGPolygonElement>(":scope > polygon.label-container");
  const points = shape ? [...shape.points] : [];
  if (!shape || points.length !== 4 || !node.classList.contains("ask")) return [];
  const ys = points.map(({ y }) => y);
  const reach = (Math.max(...ys) - Math.min(...ys)) / 2;
  const middle = Math.min(...ys) + reach;
  shape.setAttribute("points", points.map(({ x, y }) => `${x},${middle + (y - middle) * FLAT}`).join(" "));
  return [{ ...centreOf(node), reach }];
}

/** An end on a decision's edge, moved straight up or down to the edge of the flat one. */
function onFlat(decisions: readonly Decision[], point: Point): Point {
  for (const { x, y, reach } of decisions) {
    const across = Math.abs(point.x - x);
    const up = Math.abs(point.y - y);
    if (Math.abs(across + up - reach) > TOUCH) continue;
    return { x: point.x, y: y + Math.sign(point.y - y) * (reach - across) * FLAT };
  }
  return point;
}

/** The points that mermaid laid the line through, as it notes them on the path; none where it does not. */
function pointsOf(path: SVGPathElement): readonly Point[] {
  try {
    const noted: unknown = JSON.parse(atob(path.dataset.points ?? ""));
    return Array.isArray(noted) && noted.every(isPoint) ? noted : [];
  } catch {
    return [];
  }
}

function isPoint(value: unknown): value is Point {
  const point = value as Partial<Point> | null;
  return typeof point?.x === "number" && typeof point.y === "number";
}

/** A line from a box to itself begins and ends at one height and has its middle below. */
function isLoop(points: readonly Point[], first: Point, last: Point): boolean {
  const between = points.slice(1, -1);
  return (
    points.length === 4 &&
    Math.abs(first.y - last.y) < 1 &&
    between.every(({ y }) => y > first.y && y < first.y + 60)
  );
}

function hangLoop(
  svg: SVGSVGElement,
  nodes: readonly SVGGElement[],
  path: SVGPathElement,
  first: Point,
  last: Point,
): void {
  const middle = (first.x + last.x) / 2;
  const box = nodes
    .map((node) => ({ ...centreOf(node), width: node.getBBox().width }))
    .filter(({ y }) => y < first.y)
    .sort((a, b) => distance(a, middle, first.y) - distance(b, middle, first.y))[0];
  if (!box) return;
  // Right of the middle, where no line leaves straight down; inside the slant of a manual operation.
  const right = box.x + Math.max(16, box.width / 2 - 20);
  const left = Math.max(box.x + 6, right - 30);
  path.setAttribute("d", loopPath(left, right, first.y, LOOP_DEPTH));
  const label = labelOf(svg, path);
  const half = (label?.getBBox().width ?? 0) / 2;
  label?.setAttribute("transform", `translate(${right + 6 + half}, ${first.y + LOOP_DEPTH - 3})`);
}

function labelOf(svg: SVGSVGElement, path: SVGPathElement): SVGGElement | null {
  const id = CSS.escape(path.dataset.id ?? "");
  return svg.querySelector<SVGGElement>(`.edgeLabel:has(> .label[data-id="${id}"])`);
}

function centreOf(node: SVGGElement): Point {
  const [, x = "0", y = "0"] =
    /translate\(([-\d.]+),\s*([-\d.]+)\)/.exec(node.getAttribute("transform") ?? "") ?? [];
  return { x: Number(x), y: Number(y) };
}

function distance({ x, y }: Point, toX: number, toY: number): number {
  return Math.hypot(x - toX, y - toY);
}
