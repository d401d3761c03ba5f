import type { Branch, Outcome, Procedure, Step, StepId, StepKind } from "../procedure/model.ts";
import { returnBranch } from "../procedure/next-steps.ts";
import { toLabel } from "./label.ts";

export interface DrawingOptions {
  /**
   * Rows of a path or witness: their steps get the class `shown`, their branches are thick links (mermaid
   * gives those `edge-thickness-thick`, and classes of ours to nodes only).
   */
  readonly highlight?: readonly { readonly step: StepId; readonly outcome: Outcome }[];
  /** How often each branch was taken, by `<step>:<outcome>`: written beside it and drawn as width. */
  readonly traffic?: ReadonlyMap<string, number>;
  /** Gets the class `selected`. */
  readonly selected?: StepId;
}

export interface Drawing {
  /**
   * A mermaid flowchart. Classes for a theme: `ask`, `measure`, `do`, `called`, `conclude`, `ended`, `start`,
   * `shown`, `selected`.
   */
  readonly text: string;
  /** The node that draws a step; undefined for a step that is not drawn. */
  nodeOf(step: StepId): string | undefined;
  /** The step behind a node, by its id here or the element's id that mermaid makes of it. */
  stepOf(nodeId: string): StepId | undefined;
}

/**
 * A procedure as a flowchart with the shapes of ISO 5807: terminator for start and ends, decision for `ask`,
 * manual operation for `measure`, process for `do`, predefined process for `call` and `conclude`. Called steps
 * stand in a frame of their own. Where `cannot` and `stop` lead by themselves is left out. Names and
 * words never become syntax: nodes are numbered, labels are written in entity codes.
 */
export function drawMermaid(procedure: Procedure, options: DrawingOptions = {}): Drawing {
  const drawn = [...procedure.steps.values()].filter((step) => !isImplied(step));
  const nodes = new Map(drawn.map((step, index) => [step.id, `n${index}`]));
  const steps = new Map(drawn.map((step, index) => [`n${index}`, step.id]));
  const text = [
    "flowchart TD",
    `  start([${toLabel(procedure.title)}]):::start`,
    ...frames(drawn, nodes),
    ...links(procedure, drawn, nodes, options),
    ...marks(nodes, options),
    "",
  ].join("\n");
  return {
    text,
    nodeOf: (step) => nodes.get(step),
    stepOf: (nodeId) => steps.get(/(?:^|-)(n\d+)(?=-|$)/.exec(nodeId)?.[1] ?? ""),
  };
}

function isImplied(step: Step): boolean {
  return step.kind === "end" && (step.id === `end/${step.end}` || step.id.endsWith(`/end/${step.end}`));
}

function marks(nodes: ReadonlyMap<StepId, string>, options: DrawingOptions): readonly string[] {
  const shown = new Set(options.highlight?.map((row) => row.step));
  return [...nodes].flatMap(([step, node]) => [
    ...(shown.has(step) ? [`  class ${node} shown`] : []),
    ...(options.selected === step ? [`  class ${node} selected`] : []),
  ]);
}

/** The nodes, those of a called procedure inside a frame; in the order written. */
function frames(drawn: readonly Step[], nodes: ReadonlyMap<StepId, string>): readonly string[] {
  const lines: string[] = [];
  const open: { readonly scope: string; readonly indent: string }[] = [{ scope: "", indent: "  " }];
  const titles = new Map(drawn.map((step) => [`${step.id}/`, step.title]));
  let frame = 0;
  const close = () => {
    open.pop();
    lines.push(`${open.at(-1)?.indent ?? "  "}end`);
  };
  for (const step of drawn) {
    while (!step.scope.startsWith(open.at(-1)?.scope ?? "")) close();
    for (let top = open.at(-1); top !== undefined && top.scope !== step.scope; top = open.at(-1)) {
      const scope = step.scope.slice(0, step.scope.indexOf("/", top.scope.length) + 1);
      lines.push(`${top.indent}subgraph g${frame}[${toLabel(titles.get(scope) ?? scope)}]`);
      frame += 1;
      open.push({ scope, indent: `${top.indent}  ` });
    }
    lines.push(`${open.at(-1)?.indent}${nodes.get(step.id)}${shaped(step)}:::${CLASSES[step.kind]}`);
  }
  while (open.length > 1) close();
  return lines;
}

/** `call` and `end` alone are words of mermaid's own. */
const CLASSES: Readonly<Record<StepKind, string>> = {
  ask: "ask",
  measure: "measure",
  do: "do",
  call: "called",
  conclude: "conclude",
  end: "ended",
};

function shaped(step: Step): string {
  const label = toLabel(step.title);
  switch (step.kind) {
    case "ask":
      return `{${label}}`;
    case "measure":
      return `[\\${label}/]`;
    case "do":
      return `[${label}]`;
    case "call":
    case "conclude":
      return `[[${label}]]`;
    case "end":
      return `([${label}])`;
  }
}

interface Link {
  readonly from: string;
  readonly to: string;
  readonly label: string;
  readonly key: string;
}

function links(
  procedure: Procedure,
  drawn: readonly Step[],
  nodes: ReadonlyMap<StepId, string>,
  options: DrawingOptions,
): readonly string[] {
  const all: Link[] = [];
  const add = (from: string | undefined, target: StepId, label: string, key: string): void => {
    const to = nodes.get(target);
    if (from !== undefined && to !== undefined) all.push({ from, to, label, key });
  };
  add("start", procedure.start, "", "");
  for (const step of drawn) {
    const from = nodes.get(step.id);
    if (step.kind === "call") add(from, step.entry, "", "");
    const returning = step.kind === "end" ? returnBranch(procedure, step) : undefined;
    const branches =
      step.kind === "call"
        ? []
        : step.kind === "end"
          ? returning
            ? [returning]
            : []
          : step.outcomes.values();
    for (const branch of branches)
      if (!branch.implied)
        for (const [goto, label] of ways(procedure, branch)) add(from, goto, label, keyOf(branch));
  }
  const shown = new Set(options.highlight?.map(keyOf));
  const most = Math.max(1, ...(options.traffic?.values() ?? []));
  return [
    ...all.map((link, index) => {
      const count = options.traffic?.get(link.key);
      const words = [link.label, ...(count === undefined ? [] : [String(count)])].filter(Boolean).join(" · ");
      return `  ${link.from} e${index}@${shown.has(link.key) ? "==>" : "-->"}${words === "" ? "" : `|${toLabel(words)}|`} ${link.to}`;
    }),
    ...all.flatMap((link, index) => {
      const count = options.traffic?.get(link.key);
      return count === undefined ? [] : `  linkStyle ${index} stroke-width:${widthOf(count, most)}px`;
    }),
  ];
}

function keyOf(branch: { readonly step: StepId; readonly outcome: Outcome }): string {
  return `${branch.step}:${branch.outcome}`;
}

/** 1 to 9 px; the root, so that a branch taken once in a hundred is still told from one never taken. */
function widthOf(count: number, most: number): number {
  return count <= 0 ? 1 : Math.round((2 + 7 * Math.sqrt(count / most)) * 10) / 10;
}

function ways(procedure: Procedure, branch: Branch): readonly (readonly [StepId, string])[] {
  const outcome = outcomeLabel(procedure.steps.get(branch.step), branch.outcome);
  const several = branch.arms.length > 1;
  const found: (readonly [StepId, string])[] = branch.arms.map((arm) => [
    arm.goto,
    several ? `${outcome}: ${arm.if?.text ?? "else"}` : outcome,
  ]);
  if (branch.else !== undefined) found.push([branch.else, `${outcome} > ${branch.atMost ?? 0}×`]);
  return found;
}

function outcomeLabel(step: Step | undefined, outcome: Outcome): string {
  const named =
    step?.kind === "ask"
      ? step.answers.find((answer) => answer.id === outcome)
      : step?.kind === "measure" && step.judged.by === "bands"
        ? step.judged.bands.find((band) => band.id === outcome)
        : undefined;
  return named?.label ?? outcome;
}
