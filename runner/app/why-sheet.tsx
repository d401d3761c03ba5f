import { useState } from "react";
import type { Run } from "../../engine/machine/run.ts";
import type { Procedure } from "../../engine/procedure/model.ts";
import { adviceSentence } from "../../engine/reasoning/advice-sentence.ts";
import { type Advice, nextStepAdvice } from "../../engine/reasoning/next-step.ts";
import { posterior } from "../../engine/reasoning/posterior.ts";
import { answersSaid } from "../kit/answers-said.ts";
import { Button } from "../kit/button.tsx";
import { lookAgainText } from "../kit/look-again-text.ts";
import { Sheet } from "../kit/sheet.tsx";
import { SignedBar } from "../kit/signed-bar.tsx";
import { StillPossible } from "../kit/still-possible.tsx";
import { whyText } from "../kit/why-text.ts";
import "./why.css";

/** Why this step comes next: what is still possible, what each answer said of it, and what else would help. */
export function WhySheet({
  procedure,
  run,
  onChoose,
  onClose,
}: {
  readonly procedure: Procedure;
  readonly run: Run;
  /** Takes a step now instead of the written one; absent where the order is not free. */
  readonly onChoose?: (step: string) => void;
  readonly onClose: () => void;
}) {
  const { faults, lookAgain } = posterior(procedure, run);
  return (
    <Sheet title="Why this next?" onClose={onClose}>
      <p>{whyText(procedure, run)}</p>
      {lookAgain === undefined ? null : (
        <p className="why-look-again">{lookAgainText(procedure, lookAgain)}</p>
      )}
      <StillPossible faults={faults} all title="What is still possible" />
      <AnswersSaid procedure={procedure} run={run} faults={faults} />
      <WouldHelp procedure={procedure} run={run} onChoose={onChoose} />
      <p className="soft">
        The shares follow from how common each fault is and from what each answer shows. They are the author's
        figures, not a measurement.
      </p>
      <Button onClick={onClose}>Back to the job</Button>
    </Sheet>
  );
}

/** What each earlier answer said of one fault, the likeliest unless another one is chosen. */
function AnswersSaid({
  procedure,
  run,
  faults,
}: {
  readonly procedure: Procedure;
  readonly run: Run;
  readonly faults: ReturnType<typeof posterior>["faults"];
}) {
  const [chosen, setChosen] = useState<string | undefined>(undefined);
  const fault = faults.find((one) => one.fault === chosen) ?? faults[0];
  const said = fault === undefined ? [] : answersSaid(procedure, run, fault.fault);
  if (fault === undefined || said.length === 0) return null;
  return (
    <section className="verdict">
      <h2>What your answers say</h2>
      <label className="field">
        <span className="field-label">About</span>
        <select value={fault.fault} onChange={(change) => setChosen(change.target.value)}>
          {faults.map(({ fault: id, title }) => (
            <option key={id} value={id}>
              {title}
            </option>
          ))}
        </select>
      </label>
      <ul className="possible" aria-live="polite">
        {said.map(({ step, title, answer, strength, text }) => (
          <li key={step} className="why-said">
            <span>
              {title}: <strong>{answer}</strong>
            </span>
            <SignedBar strength={strength} />
            <span className="why-text">{text}</span>
          </li>
        ))}
      </ul>
    </section>
  );
}

const SHOWN = 4;

/** The steps that could be answered now, by what they save; nothing where only the one that is asked could be. */
function WouldHelp({
  procedure,
  run,
  onChoose,
}: {
  readonly procedure: Procedure;
  readonly run: Run;
  readonly onChoose: ((step: string) => void) | undefined;
}) {
  const advice = nextStepAdvice(procedure, run);
  if (advice.every(({ written }) => written)) return null;
  return (
    <section className="verdict">
      <h2>What else would help</h2>
      <ol className="why-advice">
        {advice.slice(0, SHOWN).map((each) => (
          <AdviceRow key={each.step} procedure={procedure} run={run} advice={each} onChoose={onChoose} />
        ))}
      </ol>
    </section>
  );
}

function AdviceRow({
  procedure,
  run,
  advice,
  onChoose,
}: {
  readonly procedure: Procedure;
  readonly run: Run;
  readonly advice: Advice;
  readonly onChoose: ((step: string) => void) | undefined;
}) {
  const title = procedure.steps.get(advice.step)?.title ?? advice.step;
  return (
    <li className="why-advised">
      <strong>{title}</strong>
      <p className="soft">{adviceSentence(procedure, run, advice)}</p>
      {onChoose === undefined || advice.step === run.step ? null : (
        <Button look="plain" onClick={() => onChoose(advice.step)}>
          {advice.step === run.waiting ? "Back to this one" : "Take this one first"}
          <span className="unseen">: {title}</span>
        </Button>
      )}
    </li>
  );
}
