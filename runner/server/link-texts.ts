/** The texts of one procedure, linked into the procedure that runs are walked on. */
import { loadProcedure } from "../../engine/procedure/load.ts";
import type { Procedure } from "../../engine/procedure/model.ts";

export interface TreeTexts {
  readonly id: string;
  readonly text: string;
  readonly called: ReadonlyMap<string, string>;
  readonly equipment: ReadonlyMap<string, string>;
}

/** The procedure with that sheet laid over it; nothing where an error in the texts keeps it from being walked. */
export function linkTexts(texts: TreeTexts, equipment?: string): Procedure | undefined {
  throw new Error(String([texts, equipment, loadProcedure]));
}
