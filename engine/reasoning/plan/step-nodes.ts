/** Steps of a procedure's text as YAML nodes: their branches, copies of them, and where they lead. */
import { type Document, isAlias, isMap, isScalar, type Node, visit, type YAMLMap } from "yaml";

/** Where a word of a step leads: in its list of answers, bands, outcomes or returns, or beside it. */
export function branchOf(step: YAMLMap, word: string): YAMLMap | undefined {
  if (word === "taken") return step;
  const lists = ["answers", "bands", "outcomes", "returns"].map((key) => step.get(key));
  for (const list of [...lists, step]) {
    const branch = isMap(list) ? list.get(word) : undefined;
    if (isMap(branch)) return branch as YAMLMap;
  }
  return undefined;
}

/** Whether a step says such a word. */
export function hasKey(node: Node, key: string): boolean {
  return isMap(node) && node.has(key);
}

/** Leads a branch to a step, whatever it said of conditions and rounds. */
export function setGoto(branch: YAMLMap, goto: string): void {
  for (const key of ["then", "at-most", "else"]) branch.delete(key);
  branch.set("goto", goto);
}

/** A copy without anchors and aliases, so that it can stand anywhere and more than once. */
export function plainCopy(document: Document, original: YAMLMap): YAMLMap {
  const copy = original.clone() as YAMLMap;
  visit(copy, {
    Node: (_, node) => {
      if (!isAlias(node)) {
        delete node.anchor;
        return undefined;
      }
      const meant = node.resolve(document)?.clone() as Node | undefined;
      if (meant !== undefined && !isAlias(meant)) delete meant.anchor;
      return meant;
    },
  });
  return copy;
}

/** Steps that can be come to, by every word that leads anywhere. */
export function reachable(steps: readonly (readonly [string, Node])[], start: string): ReadonlySet<string> {
  const byName = new Map(steps);
  const seen = new Set<string>();
  const waiting = [start];
  for (let name = waiting.pop(); name !== undefined; name = waiting.pop()) {
    const node = byName.get(name);
    if (node === undefined || seen.has(name)) continue;
    seen.add(name);
    visit(node, {
      Pair: (_, { key, value }) => {
        // What was set by hand is plain, what was read is a scalar.
        const [name, to] = [key, value].map((one) => (isScalar(one) ? one.value : one));
        if (LEADING.has(String(name)) && typeof to === "string") waiting.push(to);
      },
    });
  }
  return seen;
}

const LEADING = new Set(["goto", "else", "verify"]);
