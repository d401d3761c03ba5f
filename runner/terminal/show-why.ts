/** Why a step comes next, in the terminal: what is still possible, what the answers said, what else would help. */
import type { Run } from "../../engine/machine/run.ts";
import type { Procedure } from "../../engine/procedure/model.ts";
import { adviceSentence } from "../../engine/reasoning/advice-sentence.ts";
import { nextStepAdvice } from "../../engine/reasoning/next-step.ts";
import { posterior } from "../../engine/reasoning/posterior.ts";
import { answersSaid } from "../kit/answers-said.ts";
import { whyText } from "../kit/why-text.ts";
import type { Line } from "./lay-lines.ts";
import { doubtLines } from "./show-reading.ts";
import { possibleLines } from "./show-result.ts";

export function whyLines(procedure: Procedure, run: Run): readonly Line[] {
  return [
    { text: whyText(procedure, run) },
    ...apart(possibleLines(procedure, run)),
    ...apart(saidLines(procedure, run)),
    ...apart(adviceLines(procedure, run)),
    ...apart(doubtLines(procedure, run)),
  ];
}

function apart(lines: readonly Line[]): readonly Line[] {
  return lines.length === 0 ? [] : [{ text: "" }, ...lines];
}

/** What each earlier answer said of the likeliest fault. */
function saidLines(procedure: Procedure, run: Run): readonly Line[] {
  const [likeliest] = posterior(procedure, run).faults;
  const said = likeliest === undefined ? [] : answersSaid(procedure, run, likeliest.fault);
  if (likeliest === undefined || said.length === 0) return [];
  return [
    { text: `What your answers say of “${likeliest.title}”:` },
    ...said.map(({ title, answer, strength, text }) => ({
      text: `${title}: ${answer} - ${text}`,
      first: `  ${signedBar(strength)}  `,
    })),
  ];
}

const HALF = 5;

/** `.....|###..`: for to the right, against to the left. */
function signedBar(strength: number): string {
  const size = Math.round(Math.abs(strength) * HALF);
  const left = strength < 0 ? "#".repeat(size) : "";
  const right = strength > 0 ? "#".repeat(size) : "";
  return `${left.padStart(HALF, ".")}|${right.padEnd(HALF, ".")}`;
}

const SHOWN = 4;

function adviceLines(procedure: Procedure, run: Run): readonly Line[] {
  const advice = nextStepAdvice(procedure, run);
  if (advice.every(({ written }) => written)) return [];
  return [
    { text: "What else would help:" },
    ...advice.slice(0, SHOWN).map((each, index) => ({
      text: `${procedure.steps.get(each.step)?.title ?? each.step}. ${adviceSentence(procedure, run, each)}`,
      first: `  ${index + 1}. `,
    })),
  ];
}
