/** How long mermaid will take over a drawing, told before it begins: it holds up the page while it draws. */

/** Up to here a drawing is made as one types, ms. */
export const AT_ONCE = 2_500;
/** Beyond this it is not made at all, ms. */
export const AT_MOST = 30_000;

/** Measured with mermaid 11.17 on two cores: laying out and labelling one line, ms. */
const EACH_LINE = 9;
/** And each rank that a line passes on its way, ms. */
const EACH_PASS = 0.13;

const LINE = /^\s+(\S+) \S+@(?:-->|==>)(?:\|"[^"]*"\|)? (\S+)$/;

/** Returns how long a drawing will take, in rough ms: lines that pass many others cost the most. */
export function drawingLoad(text: string): number {
  const lines = linesOf(text);
  const ranks = ranksOf(lines);
  let passes = 0;
  for (const [from, to] of lines) {
    passes += 2 * Math.abs((ranks.get(to) ?? 0) - (ranks.get(from) ?? 0));
  }
  return lines.length * EACH_LINE + passes * EACH_PASS;
}

function linesOf(text: string): readonly (readonly [string, string])[] {
  return text.split("\n").flatMap((line) => {
    const [, from, to] = LINE.exec(line) ?? [];
    return from === undefined || to === undefined ? [] : [[from, to] as const];
  });
}

/** The row that each box stands in: one below the lowest that leads to it, lines that lead back left out. */
function ranksOf(lines: readonly (readonly [string, string])[]): ReadonlyMap<string, number> {
  const out = new Map<string, string[]>();
  for (const [from, to] of lines) {
    const known = out.get(from);
    if (known) known.push(to);
    else out.set(from, [to]);
  }
  const ranks = new Map<string, number>();
  for (const box of downward(out).reverse()) {
    const rank = ranks.get(box.name) ?? 0;
    for (const to of box.leads) ranks.set(to, Math.max(ranks.get(to) ?? 0, rank + 1));
  }
  return ranks;
}

interface Visited {
  readonly name: string;
  /** Where it leads, boxes that it stands below left out. */
  readonly leads: readonly string[];
}

/** Every box after all that it leads to. */
function downward(out: ReadonlyMap<string, readonly string[]>): Visited[] {
  const done: Visited[] = [];
  const state = new Map<string, "above" | "done">();
  for (const root of out.keys()) {
    const stack: { readonly name: string; next: number; readonly leads: string[] }[] = [];
    const enter = (name: string) => {
      state.set(name, "above");
      stack.push({ name, next: 0, leads: [] });
    };
    if (!state.has(root)) enter(root);
    for (let top = stack.at(-1); top !== undefined; top = stack.at(-1)) {
      const to = out.get(top.name)?.[top.next];
      top.next += 1;
      if (to === undefined) {
        state.set(top.name, "done");
        done.push(top);
        stack.pop();
        continue;
      }
      if (state.get(to) === "above") continue;
      top.leads.push(to);
      if (!state.has(to)) enter(to);
    }
  }
  return done;
}
