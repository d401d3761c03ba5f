import type { Run } from "../../engine/machine/run.ts";
import type { Procedure } from "../../engine/procedure/model.ts";
import { posterior } from "../../engine/reasoning/posterior.ts";
import { Button } from "../kit/button.tsx";
import { lookAgainText } from "../kit/look-again-text.ts";
import { Sheet } from "../kit/sheet.tsx";
import { StillPossible } from "../kit/still-possible.tsx";
import { whyText } from "../kit/why-text.ts";

/** Why this step comes next: what is still possible, and what the step can tell apart. */
export function WhySheet({
  procedure,
  run,
  onClose,
}: {
  readonly procedure: Procedure;
  readonly run: Run;
  readonly onClose: () => void;
}) {
  const { faults, lookAgain } = posterior(procedure, run);
  const step = procedure.steps.get(run.step);
  return (
    <Sheet title="Why this next?" onClose={onClose}>
      <p>{whyText(procedure, run)}</p>
      <StillPossible faults={faults} all title="What is still possible" />
      {lookAgain === undefined ? null : <p>{lookAgainText(procedure, lookAgain)}</p>}
      {step?.evidence === undefined ? null : (
        <p className="soft">
          The shares follow from how common each fault is and from what each answer shows. They are the
          author's figures, not a measurement.
        </p>
      )}
      <Button onClick={onClose}>Back to the job</Button>
    </Sheet>
  );
}
