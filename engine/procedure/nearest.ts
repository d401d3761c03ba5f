import { distance } from "fastest-levenshtein";

/**
 * The candidate that was most likely meant by `word`, or undefined where none is near. A third of the letters
 * may be wrong, at least one; capitals, spaces and underscores for hyphens count for nothing.
 */
export function nearest(word: string, candidates: Iterable<string>): string | undefined {
  const wanted = plain(word);
  let best: string | undefined;
  let bestDistance = Math.max(1, Math.floor(wanted.length / 3)) + 1;
  for (const candidate of candidates) {
    const shape = plain(candidate);
    if (Math.abs(shape.length - wanted.length) >= bestDistance) continue;
    // Two letters that changed places are one slip of the fingers.
    const apart = swapped(wanted, shape) ? 1 : distance(wanted, shape);
    if (apart < bestDistance) {
      best = candidate;
      bestDistance = apart;
    }
  }
  return best;
}

/** Whether the words are alike but for two letters side by side that changed places. */
function swapped(a: string, b: string): boolean {
  if (a === b || a.length !== b.length) return false;
  let at = 0;
  while (at < a.length && a[at] === b[at]) at += 1;
  return a.slice(at, at + 2) === (b[at + 1] ?? "") + (b[at] ?? "") && a.slice(at + 2) === b.slice(at + 2);
}

function plain(word: string): string {
  return word
    .slice(0, 200)
    .toLowerCase()
    .replaceAll(/[\s_]+/g, "-");
}
