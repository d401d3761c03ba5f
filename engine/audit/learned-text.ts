/** A procedure's text with what was learned in place of the author's numbers; every other byte stays. */
import type { Source } from "../procedure/source.ts";
import type { Learned, LearnedNumber } from "./learn.ts";

export interface LearnedText {
  readonly text: string;
  readonly changed: readonly LearnedNumber[];
  /** Numbers that stand in another file, or where an anchor would carry the change elsewhere. */
  readonly left: readonly LearnedNumber[];
}

const DIGITS = 4;

/** The source's text with the learned numbers: priors to four figures, shares to four digits behind the point. */
export function learnedText(source: Source, learned: Learned): LearnedText {
  const changed: LearnedNumber[] = [];
  const left: LearnedNumber[] = [];
  const edits: { from: number; to: number; insert: string }[] = [];
  const rounded = [
    ...learned.priors.map((one) => ({ one, value: Number(one.learned.toPrecision(DIGITS)) })),
    ...rowsOf(learned),
  ];
  for (const { one, value } of rounded) {
    const place = placeOf(source, one);
    if (place === undefined) left.push(one);
    else if (one.written !== value) {
      edits.push({ ...place, insert: String(value) });
      changed.push(one);
    }
  }
  let text = source.text;
  for (const { from, to, insert } of edits.sort((a, b) => b.from - a.from))
    text = text.slice(0, from) + insert + text.slice(to);
  return { text, changed, left };
}

/** Each row's numbers rounded so that none sums to more than 1, and one that summed to 1 still does. */
function rowsOf({ shares }: Learned): readonly { one: LearnedNumber; value: number }[] {
  const rows = new Map<string, (typeof shares)[number][]>();
  for (const share of shares) {
    const key = JSON.stringify([share.step, share.row]);
    rows.set(key, [...(rows.get(key) ?? []), share]);
  }
  return [...rows.values()].flatMap((row) => {
    const unit = 10 ** DIGITS;
    const sum = row.reduce((total, { learned }) => total + learned, 0);
    // Nothing that can happen is rounded away: 0 would rule a fault out for good.
    const down = row.map(({ learned }) => (learned > 0 ? Math.max(1, Math.floor(learned * unit + 1e-6)) : 0));
    const whole = sum > 1 - 1e-9 ? unit : Math.min(unit - 1, Math.round(sum * unit));
    const short = whole - down.reduce((total, value) => total + value, 0);
    const largest = down.indexOf(Math.max(...down));
    return row.map((one, index) => ({
      one,
      value: ((down[index] ?? 0) + (index === largest ? short : 0)) / unit,
    }));
  });
}

/** Where a number stands in the text by itself. */
function placeOf(source: Source, { node, written }: LearnedNumber): { from: number; to: number } | undefined {
  if (node.file !== source.file) return undefined;
  const { from, to } = source.place(node.path);
  if (Number(source.text.slice(from, to)) !== written) return undefined;
  for (let depth = 1; depth < node.path.length; depth += 1) {
    const holder = node.path.slice(0, depth);
    const around = source.place(holder);
    const key = source.place(holder, true);
    // An alias shows what stands elsewhere; an anchor is shown elsewhere.
    if (from < around.from || to > around.to) return undefined;
    if (/[&*][\w-]+\s*$/.test(source.text.slice(key.to, around.from))) return undefined;
  }
  return { from, to };
}
