/** A procedure's file, read, linked and proved: what every command starts from. */
import { basename } from "node:path";
import { layEquipment, loadEquipment } from "../../engine/procedure/equipment.ts";
import type { Finding, PlacedFinding } from "../../engine/procedure/finding.ts";
import { type Loaded, loadProcedure, usable } from "../../engine/procedure/load.ts";
import type { Procedure } from "../../engine/procedure/model.ts";
import { nearest } from "../../engine/procedure/nearest.ts";
import { placeFinding } from "../../engine/procedure/wording.ts";
import { checkProcedure } from "../../engine/soundness/check.ts";
import type { Output } from "./output.ts";
import { libraryBeside, readText } from "./read-file.ts";
import { type Outcome, oneLine, type UsageError, unusable } from "./usage-error.ts";

export interface CheckedFile {
  readonly file: string;
  /** Absent where the text could not be linked at all. */
  readonly procedure?: Procedure;
  readonly loaded?: Loaded;
  /** The id where the file is an equipment sheet and no procedure. */
  readonly sheet?: string;
  /** In the order of the text. */
  readonly findings: readonly PlacedFinding[];
}

/** The file with all that is wrong in it; a failure only where it could not be opened. */
export function checkFile(file: string): Outcome<CheckedFile> {
  const read = readText(file);
  if (!read.ok) return read;
  if ("finding" in read.value)
    return { ok: true, value: { file, findings: [placeFinding(read.value.finding, new Map())] } };
  return { ok: true, value: checkText(read.value.text, file) };
}

/** The same for a text that would stand in this file. */
export function checkText(text: string, file: string): CheckedFile {
  if (isSheet(text)) return checkSheet(text, file);
  const loaded = loadProcedure(text, file, libraryBeside(file));
  const proofs = loaded.procedure && usable(loaded.findings) ? prove(loaded.procedure, loaded) : [];
  const place = (finding: Finding) => placeFinding(finding, loaded.sources);
  const findings = [...loaded.findings, ...proofs]
    .map(place)
    .toSorted((a, b) => (a.file === b.file ? a.from - b.from : a.file === file ? -1 : 1));
  return { file, loaded, findings, ...(loaded.procedure ? { procedure: loaded.procedure } : {}) };
}

/** A text whose top says what equipment it is of, and not what procedure. */
function isSheet(text: string): boolean {
  return /^equipment:[ \t]*[^\s[]/m.test(text) && !/^procedure:/m.test(text);
}

/** A sheet by itself; what its names mean is known with each procedure that lists it. */
function checkSheet(text: string, file: string): CheckedFile {
  const { sheet, findings, source } = loadEquipment(text, file);
  const sources = new Map([[file, source]]);
  return {
    file,
    sheet: sheet?.id ?? basename(file, ".yaml"),
    findings: findings.map((finding) => placeFinding(finding, sources)).toSorted((a, b) => a.from - b.from),
  };
}

/** The proofs of the procedure as written and with every equipment sheet it lists. */
function prove(procedure: Procedure, { sheets }: Loaded): readonly Finding[] {
  const laid = sheets.map((sheet) => layEquipment(procedure, sheet));
  return [
    ...laid.flatMap(({ findings }) => findings),
    ...checkProcedure(
      procedure,
      laid.map((one) => one.procedure),
    ),
  ];
}

/**
 * The procedure of a file, with the equipment sheet laid over it, ready to be walked. Refused with schema and
 * name errors; warned of on standard error with proof errors.
 */
export function loadForRun(file: string, equipment: string | undefined, output: Output): Outcome<Procedure> {
  const usable = loadUsable(file, output);
  return usable.ok ? layOver(usable.value, equipment ?? onlySheet(usable.value), file) : usable;
}

export interface UsableFile {
  readonly procedure: Procedure;
  readonly sheets: Loaded["sheets"];
  readonly sources: Loaded["sources"];
}

/** The same without a sheet, and the sheets that there are for it. */
export function loadUsable(file: string, output: Output): Outcome<UsableFile> {
  const checked = checkFile(file);
  if (!checked.ok) return checked;
  const { procedure, loaded, sheet, findings } = checked.value;
  if (sheet !== undefined)
    return unusable({
      code: "not-procedure",
      message: `This is an equipment sheet. Name a procedure, and the sheet with --equipment ${sheet}.`,
      file,
    });
  const wrong = findings.filter((finding) => finding.severity === "error");
  if (procedure === undefined || loaded === undefined || !usable(loaded.findings)) {
    const [first] = wrong;
    return unusable(
      first
        ? asUsageError(first)
        : { code: "not-procedure", message: `${basename(file)} is no procedure that can be walked.`, file },
    );
  }
  for (const finding of wrong)
    if (!isSheetRefusal(finding)) output.warn(`warning: ${oneLine(asUsageError(finding))}`);
  return { ok: true, value: { procedure, sheets: loaded.sheets, sources: loaded.sources } };
}

/** What keeps a sheet from being laid over is told where that sheet is asked for, and then in full. */
function isSheetRefusal({ code, severity, equipment }: PlacedFinding): boolean {
  return equipment !== undefined && !usable([{ code, severity, params: {} }]);
}

/** The sheet of a procedure that lists just one. */
export function onlySheet({ procedure }: UsableFile): string | undefined {
  return procedure.equipment.length === 1 ? procedure.equipment[0] : undefined;
}

/**
 * The procedure with a sheet of its own laid over it; as written where none is named. Refused where the sheet does
 * not fit it: names that it does not have, units of another kind.
 */
export function layOver(
  { procedure, sheets, sources }: UsableFile,
  equipment: string | undefined,
  file: string,
): Outcome<Procedure> {
  if (equipment === undefined) return { ok: true, value: procedure };
  const sheet = sheets.find((one) => one.id === equipment);
  if (sheet !== undefined) {
    const laid = layEquipment(procedure, sheet);
    const wrong = laid.findings.find((finding) => !usable([finding]));
    return wrong === undefined
      ? { ok: true, value: laid.procedure }
      : unusable(asUsageError(placeFinding(wrong, sources)));
  }
  const meant = nearest(equipment, procedure.equipment);
  return unusable({
    code: "unknown-equipment",
    message: `There is no equipment sheet “${equipment}” for this procedure: it lists ${procedure.equipment.join(", ") || "none"}.${meant === undefined ? "" : ` Did you mean ${meant}?`}`,
    file,
  });
}

function asUsageError({ code, message, mend, file, line, column }: PlacedFinding): UsageError {
  return { code, message: `${message} ${mend}`.trim(), file, line, column };
}
