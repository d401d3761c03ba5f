/** Finding one's way in a drawing by keyboard: the nearest box in a direction. */

export interface Box {
  readonly step: string;
  readonly x: number;
  readonly y: number;
}

export type Direction = "up" | "down" | "left" | "right";

export const DIRECTIONS: ReadonlyMap<string, Direction> = new Map([
  ["ArrowUp", "up"],
  ["ArrowDown", "down"],
  ["ArrowLeft", "left"],
  ["ArrowRight", "right"],
]);

/** How much a step to the side counts against a step ahead. */
const SIDEWAYS = 2.5;

/** Returns the box that lies nearest in a direction, centres compared; nothing at the edge. */
export function nearestBox(boxes: readonly Box[], from: Box, direction: Direction): Box | undefined {
  let best: Box | undefined;
  let least = Number.POSITIVE_INFINITY;
  for (const box of boxes) {
    const [ahead, aside] = offsets(box.x - from.x, box.y - from.y, direction);
    if (ahead <= 1) continue;
    const distance = ahead + SIDEWAYS * Math.abs(aside);
    if (distance < least) {
      least = distance;
      best = box;
    }
  }
  return best;
}

function offsets(dx: number, dy: number, direction: Direction): readonly [ahead: number, aside: number] {
  switch (direction) {
    case "up":
      return [-dy, dx];
    case "down":
      return [dy, dx];
    case "left":
      return [-dx, dy];
    case "right":
      return [dx, dy];
  }
}
