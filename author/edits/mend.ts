/** The edit that mends a finding, where one is certain; by code and document, never by words. */
import { type Document, isMap, isScalar, type Pair } from "yaml";
import type { Finding } from "../../engine/procedure/finding.ts";
import { parseQuantity } from "../../engine/quantity/parse-quantity.ts";
import { convert } from "../../engine/quantity/units.ts";
import { isSameNumber } from "../../engine/quantity/verdict.ts";
import type { TextEdit } from "./text-edit.ts";

export interface Mend {
  /** What the button says. */
  readonly label: string;
  /** Of the text that was checked. */
  readonly edits: readonly TextEdit[];
}

export interface MendPlace {
  readonly finding: Finding;
  /** The finding's range in the text, half-open. */
  readonly from: number;
  readonly to: number;
}

/** Returns the mend of a finding in this text, or nothing where none is certain. */
export function findMend(document: Document.Parsed, text: string, place: MendPlace): Mend | undefined {
  const { code, params } = place.finding;
  if (code === "reading-gap") return closeEdge(document, place.finding, "over", "under", "from");
  if (code === "reading-overlap") return closeEdge(document, place.finding, "to", "from", "under");
  const meant = params.nearest;
  return typeof meant === "string" && meant !== "" ? rename(text, place, meant) : undefined;
}

/** The name that was meant in the place of the one written, in the same quotes. */
function rename(text: string, { finding, from, to }: MendPlace, meant: string): Mend | undefined {
  const written = text.slice(from, to);
  const quote = /^(["']).*\1$/s.exec(written)?.[1] ?? "";
  // In a condition or a sentence the name is only a part, which nothing tells the place of.
  if (written.slice(quote.length, written.length - quote.length) !== finding.params.name) return undefined;
  return {
    label: `Rename to “${meant}”`,
    edits: [{ from: from + quote.length, to: to - quote.length, insert: meant }],
  };
}

/**
 * Two bands meet in one number and both leave it out, or both take it in: one word settles it.
 *
 * `wrong` is the word to be replaced by `right`, where another band has `other` with the same number.
 */
function closeEdge(
  document: Document.Parsed,
  finding: Finding,
  wrong: string,
  other: string,
  right: string,
): Mend | undefined {
  const { from, to } = finding.params;
  // A hole or an overlap of more than one number is no matter of one word.
  if (typeof from !== "string" || from !== to) return undefined;
  const bands = bandsOf(document, finding.step);
  const edges = bands.flatMap((band) => limitsOf(band, wrong));
  const against = new Set(bands.flatMap((band) => limitsOf(band, other)).map(({ number }) => number));
  const meeting = edges.filter(({ number }) => against.has(number) && canBe(number, from));
  const [edge] = meeting;
  // With two such places the finding may be about either.
  if (!edge || meeting.length > 1) return undefined;
  return {
    label: `Write “${right}: ${edge.number}”`,
    edits: [{ from: edge.from, to: edge.to, insert: right }],
  };
}

/** Whether a limit as written is this reading; one that cites another can be any. */
function canBe(number: string, reading: string): boolean {
  const [written, read] = [parseQuantity(number), parseQuantity(reading)];
  if (!written.ok || !read.ok) return true;
  const { value, unit } = written.quantity;
  const converted = convert(value, unit, read.quantity.unit);
  return converted !== undefined && isSameNumber(converted, read.quantity.value);
}

interface Edge {
  readonly number: string;
  /** Range of the key's word. */
  readonly from: number;
  readonly to: number;
}

function bandsOf(document: Document.Parsed, step: string | undefined): unknown[] {
  if (step === undefined) return [];
  const bands = document.getIn(["steps", step, "bands"], true);
  return isMap(bands) ? bands.items.map((pair) => pair.value) : [];
}

function limitsOf(band: unknown, word: string): Edge[] {
  if (!isMap(band)) return [];
  return (band.items as Pair[]).flatMap(({ key, value }) => {
    if (!isScalar(key) || key.value !== word || !key.range || !isScalar(value)) return [];
    const number = String(value.value).trim().replace(/\s+/g, " ");
    const quoted = key.type === "PLAIN" ? 0 : 1;
    return [{ number, from: key.range[0] + quoted, to: key.range[1] - quoted }];
  });
}
