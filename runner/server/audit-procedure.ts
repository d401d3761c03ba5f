/** The branch counts of one procedure, in the order its text has now. */
import { type BranchAudit, countBranches } from "../../engine/audit/count-branches.ts";
import type { Store } from "../store/store.ts";
import { isRefusal, type Refusal, refuse } from "./refusal.ts";
import type { Trees } from "./trees.ts";

/** Counts over every revision, or one; `unknown-procedure`, or `not-procedure` where the text cannot be linked. */
export async function auditProcedure(
  { store, trees }: { readonly store: Store; readonly trees: Trees },
  id: string,
  revision?: number,
): Promise<BranchAudit | Refusal> {
  const texts = await trees.read(id);
  if (isRefusal(texts)) return texts;
  const linked = await trees.link(id);
  if (linked === undefined) {
    const message = `The text of ${id} has errors: its branches cannot be put in order. Run check on it.`;
    return refuse(422, { code: "not-procedure", message });
  }
  return countBranches(
    linked.procedure,
    await store.tallyBranches(id, revision),
    await store.tallyRuns(id, revision),
  );
}
