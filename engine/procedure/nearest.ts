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
    const apart = distance(wanted, shape);
    if (apart < bestDistance) {
      best = candidate;
      bestDistance = apart;
    }
  }
  return best;
}

function plain(word: string): string {
  return word
    .slice(0, 200)
    .toLowerCase()
    .replaceAll(/[\s_]+/g, "-");
}
