import { layEquipment, loadEquipment } from "../../engine/procedure/equipment.ts";
import { loadProcedure, usable } from "../../engine/procedure/load.ts";
import type { Procedure } from "../../engine/procedure/model.ts";
import type { ProcedureTexts } from "../wire/procedures.ts";

type LinkedTexts = Pick<ProcedureTexts, "id" | "text" | "called" | "equipment">;

/** The procedure of these texts with a sheet laid over it, or nothing where errors keep it from being walked. */
export function linkTexts(texts: LinkedTexts, equipment: string | undefined): Procedure | undefined {
  const { procedure, findings, sheets } = loadProcedure(texts.text, `${texts.id}.yaml`, {
    procedure: (id) => texts.called.get(id),
    equipment: (id) => texts.equipment.get(id),
  });
  if (procedure === undefined || !usable(findings)) return undefined;
  if (equipment === undefined) return procedure;
  const text = texts.equipment.get(equipment);
  const sheet =
    sheets.find((one) => one.id === equipment) ??
    (text === undefined ? undefined : loadEquipment(text, `equipment/${equipment}.yaml`).sheet);
  const laid = sheet && layEquipment(procedure, sheet);
  return laid && usable(laid.findings) ? laid.procedure : undefined;
}
