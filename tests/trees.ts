/** The shipped procedures, loaded as every runner loads them. */
import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { layEquipment } from "../engine/procedure/equipment.ts";
import { type Library, type Loaded, loadProcedure } from "../engine/procedure/load.ts";
import type { Procedure } from "../engine/procedure/model.ts";

export const TREES = fileURLToPath(new URL("../trees/", import.meta.url));
export const SHIPPED = ["radiator-fan-stays-off", "gate-lift-does-not-lower", "slow-crank"] as const;

function readOrNothing(path: string): string | undefined {
  try {
    return readFileSync(path, "utf8");
  } catch {
    return undefined;
  }
}

export const library: Library = {
  procedure: (id) => readOrNothing(`${TREES}${id}.yaml`),
  equipment: (id) => readOrNothing(`${TREES}equipment/${id}.yaml`),
};

function loadShipped(id: string): Loaded {
  return loadProcedure(readFileSync(`${TREES}${id}.yaml`, "utf8"), `${id}.yaml`, library);
}

/** A shipped procedure with one of its equipment sheets laid over it, the first where none is named. */
export function shippedProcedure(id: string, sheetId?: string): Procedure {
  const { procedure, sheets, findings } = loadShipped(id);
  const sheet = sheetId === undefined ? sheets[0] : sheets.find((one) => one.id === sheetId);
  if (procedure === undefined || sheet === undefined)
    throw new Error(`${id} does not load: ${JSON.stringify(findings)}`);
  return layEquipment(procedure, sheet).procedure;
}
