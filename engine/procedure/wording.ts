/**
 * Findings in words: a catalogue by language, filled with a finding's params. The words are for people;
 * programs read code and params.
 *
 * Params by code (`?` may be missing; `why` may be called `reason`; each may also have `step`):
 *
 * | code | params |
 * | --- | --- |
 * | not-procedure | why, kind?, size?, count?, limit?, text? |
 * | unknown-name | what, name, nearest?, where?, belongs?, allowed? |
 * | missing-key | key (alternatives by spaces), where?, why? |
 * | wrong-shape | where?, expected, found, text?, limit? or why, name?, other?, most? |
 * | bad-quantity | text, why, unit? |
 * | bad-expression | text, why, detail?, write? |
 * | plain-hint | hint, text?, name?, count? |
 * | unknown-step | name, nearest? |
 * | dead-end | step, outcome?, atMost?, why? |
 * | unreachable-step | step, why? |
 * | endless-loop | steps or (step, outcome, to, steps) or (why `calls`, name) |
 * | impossible-branch | step, outcome, why?, goto? |
 * | reading-gap | step, reading, from?, to?, low?, high?, bands? or (step, why `not-proven`) |
 * | reading-overlap | step, reading, first, second, why? |
 * | unit-mismatch | found, expected or unit, needs, why? |
 * | reference-mismatch | found, expected or why, to?, at? |
 * | reading-not-taken | step, reading or name, what?, text? |
 * | instrument-too-coarse | step, band, width, u |
 * | unsupported-conclusion | fault, needed, probability?, rival?, why? |
 * | fault-never-found | fault |
 * | faults-not-told-apart | faults |
 * | no-verification | step, why? |
 * | evidence-sum | fault, sum |
 * | no-evidence | step |
 * | certain-evidence | fault, outcome, value or share |
 * | missing-caution | hazard, where or (step, what) |
 * | set-up-not-put-back | setUp or (setUp, step, why `without`) |
 * | set-up-conflict | setUp, where? or by?, why? |
 * | hazard-not-referred | step, hazard, end |
 * | not-acted-on | part or name |
 */
import { type Finding, type FindingCode, isUnproven, type PlacedFinding } from "./finding.ts";
import { createSource, type Place, type Source } from "./source.ts";
import { visible } from "./visible.ts";
import { ENGLISH } from "./wording-en.ts";
import type { Params, Wording } from "./wording-type.ts";

/** Languages by their BCP 47 name. */
const CATALOGUES: Readonly<Record<string, Readonly<Record<FindingCode, Wording>>>> = { en: ENGLISH };

/** The few words that name a kind of finding, English where the language has none. */
export function findingTitle(code: FindingCode, language = "en"): string {
  return wordingOf(code, language).title;
}

/** A finding with its words and its place; one in a file that is not among the sources is at its beginning. */
export function placeFinding(
  finding: Finding,
  sources: ReadonlyMap<string, Source>,
  language = "en",
): PlacedFinding {
  const { code, severity, node, span, step, witness } = finding;
  const source = sources.get(node.file) ?? createSource("", node.file);
  const { message, mend } = wordingOf(code, language);
  const params: Params = (name) => visible(String(finding.params[name] ?? ""));
  const place = span === undefined ? nodePlace(source, finding) : source.placeOf(...span);
  return {
    code,
    severity,
    message: message(params),
    mend: mend(params),
    file: node.file,
    ...place,
    ...(step === undefined ? {} : { step }),
    ...(witness === undefined ? {} : { witness }),
    ...(finding.params.equipment === undefined ? {} : { equipment: String(finding.params.equipment) }),
    ...(isUnproven(finding) ? { notProven: true as const } : {}),
  };
}

/** A value of several lines is pointed at by its name or first line, so that not half a file is underlined. */
function nodePlace(source: Source, { node, atKey }: Finding): Place {
  const whole = source.place(node.path, atKey);
  const place = whole.line === whole.endLine ? whole : source.place(node.path, true);
  if (place.line === place.endLine) return place;
  const end = source.text.indexOf("\n", place.from);
  return source.placeOf(place.from, end < 0 ? place.to : end);
}

function wordingOf(code: FindingCode, language: string): Wording {
  const catalogue = Object.hasOwn(CATALOGUES, language) ? CATALOGUES[language] : undefined;
  return (catalogue ?? ENGLISH)[code];
}
