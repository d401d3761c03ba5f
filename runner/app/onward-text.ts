import type { Prompt } from "../../engine/machine/prompt.ts";
import type { Procedure } from "../../engine/procedure/model.ts";

/** What the button to the next prompt says: where it leads. */
export function onwardText(prompt: Prompt, procedure: Procedure): string {
  switch (prompt.kind) {
    case "fact":
      return `On to: ${prompt.fact.title}`;
    case "specification":
      return `Look up: ${prompt.title}`;
    case "set-up":
      return prompt.change === "make" ? `First: ${prompt.setUp.title}` : `Put back: ${prompt.setUp.title}`;
    case "cautions": {
      const step = procedure.steps.get(prompt.for);
      return step === undefined ? "On to what comes next" : `On to: ${step.title}`;
    }
    case "repair":
      return "On to the repair";
    case "concluded":
      return "On to the finding";
    case "end":
      return "Close the job";
    default:
      return `On to: ${prompt.title}`;
  }
}
