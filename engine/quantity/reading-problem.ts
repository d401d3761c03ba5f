import { displayUnit } from "./units.ts";

/** Why a typed reading was not taken. What was typed is kept by the caller; `text` is cut when long. */
export interface ReadingProblem {
  readonly code:
    | "empty"
    | "too-long"
    | "not-a-number"
    | "two-points"
    | "thousands"
    | "gap"
    | "apart"
    | "several"
    | "list-too-long"
    | "list-units"
    | "list-over-range"
    | "exponent"
    | "two-prefixes"
    | "not-finite"
    | "too-many-digits"
    | "unknown-unit"
    | "wrong-dimension"
    | "prefix-not-used"
    | "below-absolute-zero"
    | "implausible"
    | "leads-missing"
    | "leads-open"
    | "temperature-missing"
    | "temperature-out-of-range"
    | "no-value"
    | "no-band"
    | "bad-set-up";
  readonly text: string;
  /** Which of the texts typed for one reading it is about. */
  readonly field: "reading" | "leads" | "temperature";
  /**
   * Words of the sentence: `unit` asked for, `typed` unit, `plain` and `decimal` readings of `1,200`, the `list`
   * meant, limits.
   */
  readonly params: Readonly<Record<string, string>>;
}

/** One sentence that tells the technician what to type instead. */
export function readingProblemSentence(problem: ReadingProblem): string {
  const { text, params } = problem;
  const unit = displayUnit(params.unit ?? "");
  const example = unit === "" ? "26.1" : `26.1 ${unit}`;
  const of = { reading: "", leads: "Leads: ", temperature: "Temperature: " }[problem.field];
  return of + sentence();

  function sentence(): string {
    switch (problem.code) {
      case "empty":
        return `Type what the meter shows, as in ${example}.`;
      case "too-long":
        return `That is too long for a reading: type only the number and its unit, as in ${example}.`;
      case "not-a-number":
        return `"${text}" is not a number: type what the meter shows, as in ${example}, or OL.`;
      case "two-points":
        return `"${text}" has more than one decimal point: type it with one, as in ${example}.`;
      case "thousands":
        return `"${text}" can mean ${params.plain} or ${params.decimal}: type the one you mean, without a comma.`;
      case "gap":
        return `"${text}" has a gap in its number: type ${params.plain} if that is what the meter shows.`;
      case "apart":
        return `"${text}" holds more than one number: for several readings of one thing type ${params.list}.`;
      case "several":
        return `"${text}" holds more than one number: type one.`;
      case "list-too-long":
        return `"${text}" holds more than ${params.most} readings: so many are enough.`;
      case "list-units":
        return `"${text}" has a unit on some numbers only: type it on each of them, or on none.`;
      case "list-over-range":
        return `"${text}" has over range beside a number: a contact that comes and goes. Hold the tips still and read again.`;
      case "exponent":
        return `"${text}" has a power of ten in it: type it with a prefix, as in 1.2k, or in full.`;
      case "two-prefixes":
        return `"${text}" has a letter too many: type it as 4.7k or 4k7.`;
      case "not-finite":
        return `"${text}" is larger than any meter shows: type OL if the meter is over range.`;
      case "too-many-digits":
        return `"${text}" has more digits than any meter shows: type what it shows, ${params.most} digits at most.`;
      case "unknown-unit":
        return `"${params.typed}" is not a unit known here${unit === "" ? "." : `: ${unit} is asked for.`}`;
      case "wrong-dimension":
        return `"${text}" is in ${displayUnit(params.typed ?? "")}, but ${unit === "" ? "a plain number" : unit} is asked for: check what the meter is set to.`;
      case "prefix-not-used":
        return `"${params.typed}" is not used with ${unit === "" ? "a plain number" : unit}: write the unit in full.`;
      case "below-absolute-zero":
        return `"${text}" is colder than absolute zero: check the number and its unit.`;
      case "implausible":
        return `${text} is not plausible here${params.range === undefined ? "" : ` (${params.range})`}: check that the leads are the right way round and the meter is set right, then read again.`;
      case "leads-missing":
        return "Hold the two leads together and type what the meter shows, as in 0.3 Ω.";
      case "leads-open":
        return "The meter shows over range with the leads held together: check the leads and their plugs first.";
      case "temperature-missing":
        return "Type the temperature of the part, as in 40 °C.";
      case "temperature-out-of-range":
        return `"${text}" is outside the temperatures this correction holds for${params.range === undefined ? "." : ` (${params.range}).`}`;
      case "no-value":
        return `Nothing can be worked out from "${text}": check the reading.`;
      case "no-band":
        return `"${text}" falls into no band of this step: the procedure has a gap here.`;
      case "bad-set-up":
        return `This step can't be judged: its units do not fit together (${params.units ?? "unknown unit"}).`;
    }
  }
}

/** A problem with the texts cut to what a screen can show. */
export function readingProblem(
  code: ReadingProblem["code"],
  text: string,
  params: Readonly<Record<string, string>> = {},
  field: ReadingProblem["field"] = "reading",
): { readonly ok: false; readonly problem: ReadingProblem } {
  const shown: Record<string, string> = {};
  for (const [name, value] of Object.entries(params)) shown[name] = cut(value);
  return { ok: false, problem: { code, text: cut(text), field, params: shown } };
}

function cut(text: string): string {
  const letters = Array.from(text.slice(0, 100).replace(/\p{Cc}+/gu, " "));
  return letters.length > 40 ? `${letters.slice(0, 40).join("")}…` : letters.join("");
}
