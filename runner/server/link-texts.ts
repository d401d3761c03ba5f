/** The texts of one procedure, linked into the procedure that runs are walked on. */
import { type EquipmentSheet, layEquipment, loadEquipment } from "../../engine/procedure/equipment.ts";
import { loadProcedure, usable } from "../../engine/procedure/load.ts";
import type { Procedure } from "../../engine/procedure/model.ts";

export interface TreeTexts {
  readonly id: string;
  readonly text: string;
  /** Called procedures by id. */
  readonly called: ReadonlyMap<string, string>;
  /** Equipment sheets by id. */
  readonly equipment: ReadonlyMap<string, string>;
}

/** The procedure with that sheet laid over it; nothing where an error in the texts keeps it from being walked. */
export function linkTexts(texts: TreeTexts, equipment?: string): Procedure | undefined {
  const { procedure, findings, sheets } = loadProcedure(texts.text, `${texts.id}.yaml`, {
    procedure: (id) => texts.called.get(id),
    equipment: (id) => texts.equipment.get(id),
  });
  if (procedure === undefined || !usable(findings)) return undefined;
  if (equipment === undefined) return procedure;
  const sheet = sheets.find((each) => each.id === equipment) ?? anySheet(texts, equipment);
  return sheet && layEquipment(procedure, sheet).procedure;
}

/** A procedure that lists no sheets may be walked with any. */
function anySheet(texts: TreeTexts, equipment: string): EquipmentSheet | undefined {
  const text = texts.equipment.get(equipment);
  return text === undefined ? undefined : loadEquipment(text, `equipment/${equipment}.yaml`).sheet;
}
