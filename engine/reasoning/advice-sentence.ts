/**
 * Advice in words: a catalogue by language. The words are for people; programs read the advice itself.
 *
 * | reason | said of a step |
 * | --- | --- |
 * | settles | whose answer brings a conclusion to its proof, one that the run can come to, in so many of ten such jobs |
 * | parts | whose answers leave different faults as the likeliest |
 * | surer | whose answers leave the same fault the likeliest, more or less sure |
 */
import { filled } from "../machine/filled.ts";
import type { Run } from "../machine/run.ts";
import type { FaultId, Procedure } from "../procedure/model.ts";
import { scopeOf } from "../procedure/titles.ts";
import type { Advice } from "./next-step.ts";

interface AdviceWords {
  readonly settles: (tenths: number) => string;
  readonly parts: (one: string, other: string) => string;
  readonly surer: (fault: string) => string;
  /** Minutes, and what has to be made first. */
  readonly costs: (minutes: number, make: readonly string[], isOpen: boolean) => string;
  readonly saves: (minutes: number) => string;
  readonly written: string;
  /** Of the written step, while a chosen one is asked. */
  readonly waits: string;
}

const ENGLISH: AdviceWords = {
  settles: (tenths) =>
    tenths >= 10 ? "Its answer settles it." : `Its answer settles it in about ${tenths} of 10 such jobs.`,
  parts: (one, other) => `It tells “${one}” from “${other}”.`,
  surer: (fault) => `It makes “${fault}” more likely or less.`,
  costs: (minutes, make, isOpen) => {
    if (make.length > 0) return `${minutes}\u00a0min, taking apart first: ${make.join(", ")}.`;
    return isOpen
      ? `${minutes}\u00a0min; what it needs is open already.`
      : `${minutes}\u00a0min, nothing to take apart.`;
  },
  saves: (minutes) => `Done first it saves about ${minutes}\u00a0min on average.`,
  written: "It is the next one as written.",
  waits: "It is the written one, and waits.",
};

/** Languages by their BCP 47 name. */
const CATALOGUES: Readonly<Record<string, AdviceWords>> = { en: ENGLISH };

/** Under so many of ten jobs a step is not said to settle anything. */
const LEAST_TENTHS = 1;

/** Why a step would help next: what it tells, what it costs, what it saves; English where the language has none. */
export function adviceSentence(procedure: Procedure, run: Run, advice: Advice, language = "en"): string {
  const words = (Object.hasOwn(CATALOGUES, language) ? CATALOGUES[language] : undefined) ?? ENGLISH;
  const isOpen = (procedure.steps.get(advice.step)?.needs.length ?? 0) > 0;
  const make = advice.make.flatMap((id) => {
    const setUp = procedure.setUps.get(id);
    return setUp === undefined ? [] : filled(procedure, run, scopeOf(id), setUp.title);
  });
  const saved = Math.round(advice.saves);
  return [
    tellsText(procedure, run, advice, words),
    words.costs(Math.max(1, Math.round(advice.minutes)), make, isOpen),
    ...(saved >= 1 ? [words.saves(saved)] : []),
    ...(advice.written && run.waiting === undefined ? [words.written] : []),
    ...(run.waiting === advice.step ? [words.waits] : []),
  ].join(" ");
}

function tellsText(
  procedure: Procedure,
  run: Run,
  { outcomes }: Advice,
  { settles, parts, surer }: AdviceWords,
): string {
  const settled = outcomes
    .filter(({ settles: proves }) => proves)
    .reduce((sum, { probability }) => sum + probability, 0);
  // Only what every answer settles reads as settled.
  const tenths = settled > 1 - 1e-9 ? 10 : Math.min(9, Math.round(settled * 10));
  if (tenths >= LEAST_TENTHS) return settles(tenths);
  const title = (id: FaultId) => filled(procedure, run, scopeOf(id), procedure.faults.get(id)?.title ?? id);
  const [first] = outcomes;
  if (first === undefined) return "";
  const other = outcomes.find(({ fault }) => fault !== first.fault);
  return other === undefined ? surer(title(first.fault)) : parts(title(first.fault), title(other.fault));
}
