/** From a text to a procedure that can be drawn, proven and run. */
import type { RawProcedure } from "../../schemas/generated/procedure.ts";
import { defined } from "./defined.ts";
import { type EquipmentSheet, loadEquipment } from "./equipment.ts";
import { baseName, checkFileName, inFolder } from "./file-name.ts";
import type { Finding, FindingCode } from "./finding.ts";
import { linkProcedure } from "./link.ts";
import type { OpenCalled } from "./link-call.ts";
import type { Procedure } from "./model.ts";
import { parseText } from "./parse.ts";
import { procedureHash } from "./procedure-hash.ts";
import { createSource, type Source } from "./source.ts";
import { mergedFindings } from "./without-guesses.ts";

/** Texts of the same folder, and of the equipment sheets beside it. */
export interface Library {
  procedure(id: string): string | undefined;
  equipment(id: string): string | undefined;
}

export interface Loaded {
  /** As much as could be linked: present in a draft with mistakes, too. `usable` tells if it may be run. */
  readonly procedure?: Procedure;
  /** Those of called procedures and listed equipment sheets included, each with its own file. */
  readonly findings: readonly Finding[];
  readonly sources: ReadonlyMap<string, Source>;
  /** The equipment sheets listed, those that could be read. */
  readonly sheets: readonly EquipmentSheet[];
}

/** The procedure in a text, linked with all that it calls. Nothing throws, whatever the text holds. */
export function loadProcedure(text: string, file: string, library: Library): Loaded {
  if (TRANSLATION.test(baseName(file))) return translation(text, file);
  const opened = new Opened(library, file);
  const raw = opened.parse(text, file);
  if (raw === undefined) return { findings: opened.findings, sources: opened.sources, sheets: [] };
  const id = raw.procedure ?? baseName(file);
  opened.add(checkFileName(raw.procedure, "procedure", file));
  const { procedure, findings } = linkProcedure(
    raw,
    file,
    id,
    (called) => opened.called(called),
    () => procedureHash(text, opened.texts),
  );
  const sheets = openSheets(procedure?.equipment ?? [], file, library, opened);
  return {
    findings: mergedFindings(opened.findings, findings, opened.sources),
    sources: opened.sources,
    sheets,
    ...defined({ procedure }),
  };
}

/** Errors that keep a procedure from being run: of text and shape, of names, and of what can't be reckoned. */
const BLOCKING: ReadonlySet<FindingCode> = new Set<FindingCode>([
  "not-procedure",
  "unknown-name",
  "missing-key",
  "wrong-shape",
  "bad-quantity",
  "bad-expression",
  "plain-hint",
  "unknown-step",
  "unit-mismatch",
]);

/** Whether the findings hold no error of text, shape or names, so that what they speak of may be run. */
export function usable(findings: readonly Pick<Finding, "code" | "severity" | "params">[]): boolean {
  return !findings.some(
    ({ code, severity, params }) =>
      severity === "error" && (BLOCKING.has(code) || (code === "endless-loop" && params.reason === "calls")),
  );
}

/** Translations stand beside a procedure as `<id>.<language>.yaml`. */
const TRANSLATION = /^.+\.[A-Za-z]{2,3}(-[A-Za-z0-9]{1,8})*$/;

function translation(text: string, file: string): Loaded {
  const finding: Finding = {
    code: "not-acted-on",
    severity: "warning",
    params: { name: "translation" },
    node: { file, path: [] },
  };
  return { findings: [finding], sources: new Map([[file, createSource(text, file)]]), sheets: [] };
}

/** The texts that take part: parsed once each, with their findings and sources. */
class Opened {
  readonly findings: Finding[] = [];
  readonly sources = new Map<string, Source>();
  /** Texts of called procedures by id. */
  readonly texts = new Map<string, string>();
  private readonly library: Library;
  private readonly file: string;
  private readonly procedures = new Map<string, ReturnType<OpenCalled>>();

  constructor(library: Library, file: string) {
    this.library = library;
    this.file = file;
  }

  /** What a text holds of a procedure. */
  parse(text: string, file: string): RawProcedure | undefined {
    const parsed = parseText(text, file, "procedure");
    this.sources.set(file, parsed.source);
    this.add(parsed.findings);
    return parsed.raw;
  }

  called(id: string): ReturnType<OpenCalled> {
    if (this.procedures.has(id)) return this.procedures.get(id);
    const text = this.library.procedure(id);
    const file = inFolder(this.file, `${id}.yaml`);
    const raw = text === undefined ? undefined : this.parse(text, file);
    const found = text === undefined ? undefined : raw === undefined ? "unreadable" : { raw, file };
    if (text !== undefined) this.texts.set(id, text);
    if (raw !== undefined) this.add(checkFileName(raw.procedure, "procedure", file));
    this.procedures.set(id, found);
    return found;
  }

  add(findings: readonly Finding[]): void {
    this.findings.push(...findings);
  }
}

function openSheets(
  ids: readonly string[],
  file: string,
  library: Library,
  opened: Opened,
): readonly EquipmentSheet[] {
  const sheets: EquipmentSheet[] = [];
  for (const [index, id] of ids.entries()) {
    const text = library.equipment(id);
    if (text === undefined) {
      opened.add([unknownSheet(file, id, index)]);
      continue;
    }
    const sheetFile = inFolder(file, `equipment/${id}.yaml`);
    const { sheet, findings, source } = loadEquipment(text, sheetFile);
    opened.sources.set(sheetFile, source);
    opened.add(findings);
    if (sheet !== undefined) sheets.push(sheet);
  }
  return sheets;
}

function unknownSheet(file: string, name: string, index: number): Finding {
  return {
    code: "unknown-name",
    severity: "error",
    params: { what: "equipment", name },
    node: { file, path: ["equipment", index] },
  };
}
