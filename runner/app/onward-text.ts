import type { Prompt } from "../../engine/machine/prompt.ts";
import type { Procedure } from "../../engine/procedure/model.ts";
import { lowerFirst } from "../kit/lower-first.ts";

/** What the button to the next prompt says: where it leads. */
export function onwardText(prompt: Prompt, procedure: Procedure): string {
  switch (prompt.kind) {
    case "fact":
      return `On to: ${prompt.fact.title}`;
    case "specification":
      return `Look up: ${prompt.title}`;
    case "set-up":
      return prompt.change === "make" ? `First: ${prompt.setUp.title}` : `Put back: ${prompt.setUp.title}`;
    case "cautions":
      return cautionsText(prompt.for, procedure);
    case "repair":
      return repairText(prompt.repairs.map(({ title }) => title));
    case "concluded":
      return "On to the finding";
    case "end":
      return "Close the job";
    default:
      return `On to: ${prompt.title}`;
  }
}

/** What the cautions stand before: a set-up, a repair, or the step itself. */
function cautionsText(before: string, procedure: Procedure): string {
  const setUp = (prefix: string) =>
    before.startsWith(prefix) ? procedure.setUps.get(before.slice(prefix.length))?.title : undefined;
  const make = setUp("set-up ");
  if (make !== undefined) return `First: ${make}`;
  const putBack = setUp("put-back ");
  if (putBack !== undefined) return `Put back: ${putBack}`;
  const step = procedure.steps.get(before);
  if (step?.kind === "conclude")
    return step.verify === undefined
      ? "On to the finding"
      : repairText(step.repairs.flatMap((id) => procedure.repairs.get(id)?.title ?? []));
  return step === undefined ? "On to what comes next" : `On to: ${step.title}`;
}

function repairText(titles: readonly string[]): string {
  return titles.length === 0 ? "On to the repair" : `On to the repair: ${titles.map(lowerFirst).join("; ")}`;
}
