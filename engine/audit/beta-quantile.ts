/** The beta distribution: how sure a share is that was counted. */

/** Lanczos approximation, g = 7, n = 9 (coefficients as published by P. Godfrey, 2001); good to about 1e-15. */
const LANCZOS = [
  0.99999999999980993, 676.5203681218851, -1259.1392167224028, 771.32342877765313, -176.61502916214059,
  12.507343278686905, -0.13857109526572012, 9.9843695780195716e-6, 1.5056327351493116e-7,
] as const;

function logGamma(x: number): number {
  if (x < 0.5) return Math.log(Math.PI / Math.sin(Math.PI * x)) - logGamma(1 - x);
  let sum: number = LANCZOS[0];
  for (const [index, coefficient] of LANCZOS.entries()) if (index > 0) sum += coefficient / (x - 1 + index);
  const t = x + 6.5;
  return 0.5 * Math.log(2 * Math.PI) + (x - 0.5) * Math.log(t) - t + Math.log(sum);
}

/** P(X ≤ x) of a beta distribution: the regularised incomplete beta function (DLMF 8.17.22, by Lentz's method). */
export function betaCdf(x: number, a: number, b: number): number {
  if (x <= 0) return 0;
  if (x >= 1) return 1;
  // The fraction converges quickly only below the mean.
  if (x > (a + 1) / (a + b + 2)) return 1 - betaCdf(1 - x, b, a);
  const front = Math.exp(
    logGamma(a + b) - logGamma(a) - logGamma(b) + a * Math.log(x) + b * Math.log1p(-x) - Math.log(a),
  );
  return front * fraction(x, a, b);
}

const TINY = 1e-300;

function fraction(x: number, a: number, b: number): number {
  const safe = (value: number) => (Math.abs(value) < TINY ? TINY : value);
  let d = 1 / safe(1 - ((a + b) * x) / (a + 1));
  let c = 1;
  let value = d;
  for (let m = 1; m < 100_000; m += 1) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 / safe(1 + even * d);
    c = safe(1 + even / c);
    value *= d * c;
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 / safe(1 + odd * d);
    c = safe(1 + odd / c);
    const factor = d * c;
    value *= factor;
    if (Math.abs(factor - 1) < 1e-15) break;
  }
  return value;
}

/** The x below which a beta variable lies with probability `p`; the certain value where `a` or `b` is 0. */
export function betaQuantile(p: number, a: number, b: number): number {
  if (!(a > 0)) return 0;
  if (!(b > 0)) return 1;
  let low = 0;
  let high = 1;
  for (let halved = 0; halved < 80; halved += 1) {
    const middle = (low + high) / 2;
    if (betaCdf(middle, a, b) < p) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
