/** A text checked as `check` does: read, linked, laid under each of its sheets, proved. */
import { layEquipment } from "../../../../engine/procedure/equipment.ts";
import type { Finding, PlacedFinding } from "../../../../engine/procedure/finding.ts";
import { loadProcedure, usable } from "../../../../engine/procedure/load.ts";
import type { Procedure } from "../../../../engine/procedure/model.ts";
import { placeFinding } from "../../../../engine/procedure/wording.ts";
import { checkProcedure } from "../../../../engine/soundness/check.ts";
import type { SoundCase } from "./parts.ts";

export interface Checked {
  /** Absent where the text can't be run. */
  readonly procedure?: Procedure;
  /** The procedure with each sheet that it lists. */
  readonly withSheets: readonly Procedure[];
  readonly findings: readonly Finding[];
  readonly placed: readonly PlacedFinding[];
}

export function checked({ id, text, called = {}, sheets = {} }: SoundCase): Checked {
  const loaded = loadProcedure(text, `${id}.yaml`, {
    procedure: (name) => called[name],
    equipment: (name) => sheets[name],
  });
  const runnable = usable(loaded.findings) ? loaded.procedure : undefined;
  const laid = runnable ? loaded.sheets.map((sheet) => layEquipment(runnable, sheet)) : [];
  const withSheets = laid.map(({ procedure }) => procedure);
  const findings = [
    ...loaded.findings,
    ...laid.flatMap((one) => one.findings),
    ...(runnable ? checkProcedure(runnable, withSheets) : []),
  ];
  return {
    ...(runnable ? { procedure: runnable } : {}),
    withSheets,
    findings,
    placed: findings.map((finding) => placeFinding(finding, loaded.sources)),
  };
}
