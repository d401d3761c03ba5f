/** A probability in words that never claim a certainty: `62 %`, `under 1 %`, `over 99 %`, `out`. */
export function shareText(probability: number): string {
  if (probability === 0) return "out";
  if (probability < 0.01) return "under\u00a01\u00a0%";
  if (probability > 0.99) return "over\u00a099\u00a0%";
  return `${Math.round(probability * 100)}\u00a0%`;
}
