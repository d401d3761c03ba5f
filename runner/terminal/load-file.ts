/** A procedure's file, read, linked and proved: what every command starts from. */
import { basename } from "node:path";
import { layEquipment } from "../../engine/procedure/equipment.ts";
import type { Finding, PlacedFinding } from "../../engine/procedure/finding.ts";
import { type Loaded, loadProcedure, usable } from "../../engine/procedure/load.ts";
import type { Procedure } from "../../engine/procedure/model.ts";
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
  /** In the order of the text. */
  readonly findings: readonly PlacedFinding[];
}

/** The file with all that is wrong in it; a failure only where it could not be opened. */
export function checkFile(file: string): Outcome<CheckedFile> {
  const read = readText(file);
  if (!read.ok) return read;
  if ("finding" in read.value)
    return { ok: true, value: { file, findings: [placeFinding(read.value.finding, new Map())] } };
  const loaded = loadProcedure(read.value.text, file, libraryBeside(file));
  const proofs = loaded.procedure && usable(loaded.findings) ? prove(loaded.procedure, loaded) : [];
  const place = (finding: Finding) => placeFinding(finding, loaded.sources);
  const findings = [...loaded.findings, ...proofs]
    .map(place)
    .toSorted((a, b) => (a.file === b.file ? a.from - b.from : a.file === file ? -1 : 1));
  return {
    ok: true,
    value: { file, loaded, findings, ...(loaded.procedure ? { procedure: loaded.procedure } : {}) },
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
  const checked = checkFile(file);
  if (!checked.ok) return checked;
  const { procedure, loaded, findings } = checked.value;
  if (procedure === undefined || loaded === undefined || !usable(loaded.findings)) {
    const first = findings.find((finding) => finding.severity === "error");
    return unusable(
      first
        ? asUsageError(first)
        : { code: "not-procedure", message: `${basename(file)} is no procedure that can be walked.`, file },
    );
  }
  const wrong = findings.filter((finding) => finding.severity === "error");
  for (const finding of wrong) output.warn(`warning: ${oneLine(asUsageError(finding))}`);
  const sheetId = equipment ?? (procedure.equipment.length === 1 ? procedure.equipment[0] : undefined);
  if (sheetId === undefined) return { ok: true, value: procedure };
  const sheet = loaded.sheets.find((one) => one.id === sheetId);
  if (sheet === undefined)
    return unusable({
      code: "unknown-equipment",
      message: `There is no equipment sheet “${sheetId}” for this procedure: it lists ${procedure.equipment.join(", ") || "none"}.`,
      file,
    });
  return { ok: true, value: layEquipment(procedure, sheet).procedure };
}

function asUsageError({ code, message, mend, file, line, column }: PlacedFinding): UsageError {
  return { code, message: `${message} ${mend}`.trim(), file, line, column };
}
