/** What linking knows while it works: the files that take part, their names, and what was found wrong. */
import type {
  RawFact,
  RawInstrument,
  RawProcedure,
  RawSpecification,
  RawStep,
} from "../../schemas/generated/procedure.ts";
import { defined } from "./defined.ts";
import { memberForm } from "./expression-names.ts";
import { factId } from "./fill-text.ts";
import type { Finding, FindingCode, Severity } from "./finding.ts";
import type { EndStep, EndWord, NodePath, StepId } from "./model.ts";
import { nearest } from "./nearest.ts";
import { titleOf } from "./titles.ts";

export type Path = readonly (string | number)[];

/** What a file declares by name, and the key it does so under. */
const TABLES = {
  step: "steps",
  "set-up": "set-ups",
  caution: "cautions",
  fault: "faults",
  repair: "repairs",
  instrument: "instruments",
  specification: "specifications",
  fact: "facts",
} as const;
type NameKind = keyof typeof TABLES;
const NAME_KINDS = Object.keys(TABLES) as readonly NameKind[];

/** One file in the linked whole: the procedure itself, or one call of another. */
export interface Part {
  readonly raw: RawProcedure;
  readonly file: string;
  /** `inspect-end/`, empty at the top. */
  readonly scope: string;
  readonly call?: {
    readonly step: StepId;
    readonly caller: Part;
    /** The called one's set-ups by full id of the caller's for the same thing. */
    readonly setUps: ReadonlyMap<string, string>;
    readonly given: ReadonlyMap<string, { readonly value: RawGiven; readonly node: NodePath }>;
  };
}
export type RawGiven = string | number | readonly string[];

/** Own entries of a part of the text, none where it was left out. */
export function entriesOf<T>(
  raw: { readonly [k: string]: T } | undefined,
): readonly (readonly [string, T])[] {
  return raw === undefined ? [] : Object.entries(raw);
}

const NONE: readonly string[] = Object.freeze([]);

export class Linking {
  readonly findings: Finding[] = [];
  readonly rawSteps = new Map<StepId, { readonly part: Part; readonly raw: RawStep }>();
  readonly rawFacts = new Map<string, { readonly part: Part; readonly raw: RawFact }>();
  readonly rawSpecifications = new Map<string, { readonly part: Part; readonly raw: RawSpecification }>();
  readonly rawInstruments = new Map<string, { readonly part: Part; readonly raw: RawInstrument }>();
  /** The first step and the parts behind each call step. */
  readonly called = new Map<StepId, Part>();
  /** Call steps whose procedure could not be had: what it declares nobody knows. */
  readonly notOpened = new Set<StepId>();
  /** Ends that nobody wrote, made when something leads to them. */
  readonly impliedEnds = new Map<StepId, EndStep>();
  /** An equipment sheet speaks of names that only a procedure can know. */
  readonly anyName: boolean;
  private readonly declared = new Map<NameKind, Set<string>>(NAME_KINDS.map((kind) => [kind, new Set()]));
  private readonly members = new Map<string, string>();
  private readonly reported = new Set<string>();

  constructor(options: { readonly anyName: boolean }) {
    this.anyName = options.anyName;
  }

  /** Makes the part's names known; two that CEL can't tell apart as members are `wrong-shape`. */
  declare(part: Part): void {
    for (const kind of NAME_KINDS) {
      for (const [name] of entriesOf<unknown>(part.raw[TABLES[kind]])) this.declareName(part, kind, name);
    }
    for (const [name, raw] of entriesOf(part.raw.steps)) this.rawSteps.set(part.scope + name, { part, raw });
    for (const [name, raw] of entriesOf(part.raw.facts)) this.rawFacts.set(part.scope + name, { part, raw });
    for (const [name, raw] of entriesOf(part.raw.specifications))
      this.rawSpecifications.set(part.scope + name, { part, raw });
    for (const [name, raw] of entriesOf(part.raw.instruments))
      this.rawInstruments.set(part.scope + name, { part, raw });
  }

  private declareName(part: Part, kind: NameKind, name: string): void {
    if (kind === "set-up" && part.call?.setUps.has(name)) return;
    this.declared.get(kind)?.add(part.scope + name);
    if (kind !== "step" && kind !== "fact") return;
    const member = `${kind} ${part.scope}${memberForm(name)}`;
    const other = this.members.get(member);
    if (other === undefined) this.members.set(member, part.scope + name);
    else
      this.report(part, "wrong-shape", [TABLES[kind], name], {
        reason: "names-meet",
        name,
        other: other.slice(part.scope.length),
      });
  }

  has(kind: NameKind, id: string): boolean {
    return this.declared.get(kind)?.has(id) ?? false;
  }

  /** The full id of a step or fact by its member form: `battery_type` for `battery-type`. */
  byMember(part: Part, kind: "step" | "fact", name: string): string | undefined {
    return this.members.get(`${kind} ${part.scope}${memberForm(name)}`);
  }

  /**
   * The full id that a name stands for in a part, or undefined with an `unknown-name` or `unknown-step`; `atKey`
   * where the name is the key of the path.
   */
  resolve(part: Part, kind: NameKind, name: string, path: Path, atKey = false): string | undefined {
    const id = this.idOf(part, kind, name);
    if (this.has(kind, id) || this.anyName) return id;
    if (kind === "fact" && id === "codes") return id;
    if (this.isBehindNotOpened(id)) return undefined;
    this.unknown(part, kind, name, this.candidates(part, kind), path, atKey);
    return undefined;
  }

  /** The full ids that a list of names stands for, each once; unknown ones are reported and left out. */
  resolveAll(
    part: Part,
    kind: NameKind,
    names: readonly string[] | undefined,
    path: Path,
  ): readonly string[] {
    if (names === undefined || names.length === 0) return NONE;
    const ids = names.map((name, index) => this.resolve(part, kind, name, [...path, index]));
    return [...new Set(ids.filter((id) => id !== undefined))];
  }

  /** Names of one kind as a part's own file would write them. */
  candidates(part: Part, kind: NameKind): readonly string[] {
    const own = Object.keys(part.raw[TABLES[kind]] ?? {});
    return kind === "fact" ? [...own, "codes"] : own;
  }

  unknown(
    part: Part,
    what: string,
    name: string,
    candidates: readonly string[],
    path: Path,
    atKey = false,
  ): void {
    const close = nearest(name, candidates);
    const place = atKey ? { atKey } : {};
    if (what === "step") this.report(part, "unknown-step", path, defined({ name, nearest: close }), place);
    else this.report(part, "unknown-name", path, defined({ what, name, nearest: close }), place);
  }

  report(
    part: Pick<Part, "file">,
    code: FindingCode,
    path: Path,
    params: Finding["params"],
    more: { readonly severity?: Severity; readonly atKey?: boolean; readonly step?: StepId } = {},
  ): void {
    const severity = more.severity ?? "error";
    const step =
      more.step ?? (path[0] === "steps" && "scope" in part ? `${part.scope}${path[1]}` : undefined);
    const node = { file: part.file, path };
    this.add({ code, severity, params, node, ...defined({ atKey: more.atKey, step }) });
  }

  /** A procedure called twice has each of its findings once. */
  add(finding: Finding): void {
    const { code, params, node } = finding;
    const key = JSON.stringify([code, node.file, node.path, Object.entries(params)]);
    if (this.reported.has(key)) return;
    this.reported.add(key);
    this.findings.push(finding);
  }

  /** The end of that word which nobody wrote, in the part's scope. */
  impliedEnd(part: Part, word: EndWord): StepId {
    const scope = word === "stopped" ? "" : part.scope;
    const id = `${scope}end/${word}`;
    if (!this.impliedEnds.has(id)) {
      const returnsTo = scope === "" ? undefined : part.call?.step;
      this.impliedEnds.set(id, {
        kind: "end",
        id,
        scope,
        title: titleOf(word),
        end: word,
        minutes: 0,
        needs: [],
        without: [],
        cautions: [],
        hazards: [],
        tools: [],
        facts: [],
        specifications: [],
        after: [],
        outcomes: new Map(),
        node: { file: part.file, path: [] },
        ...defined({ returnsTo }),
      });
    }
    return id;
  }

  /** `call/fault` of a call that was not opened. */
  private isBehindNotOpened(id: string): boolean {
    for (let end = id.lastIndexOf("/"); end > 0; end = id.lastIndexOf("/", end - 1))
      if (this.notOpened.has(id.slice(0, end))) return true;
    return false;
  }

  private idOf(part: Part, kind: NameKind, name: string): string {
    if (kind === "fact") return factId(part.scope, name);
    if (kind === "set-up") return part.call?.setUps.get(name) ?? part.scope + name;
    return part.scope + name;
  }
}

/** The node of a path in a part's file. */
export function nodeOf(part: Pick<Part, "file">, path: Path): NodePath {
  return { file: part.file, path };
}
