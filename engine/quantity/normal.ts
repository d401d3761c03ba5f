/**
 * The normal distribution. `normalCdf` follows W. J. Cody, Rational Chebyshev approximations for the error
 * function, Mathematics of Computation 23 (1969), and Laplace's continued fraction far out; `normalQuantile` is M. J.
 * Wichura's algorithm AS 241 (PPND16), Applied Statistics 37 (1988).
 */

const A = [2.2352520354606837, 161.02823106855587, 1067.6894854603709, 18154.98125334356] as const;
const A_LAST = 0.06568233791820745;
const B = [47.202581904688245, 976.0985517377767, 10260.932208618979, 45507.78933502673] as const;
const C = [
  0.39894151208813466, 8.883149794388377, 93.50665613217785, 597.2702763948002, 2494.5375852903726,
  6848.190450536283, 11602.65143764735, 9842.714838383978,
] as const;
const C_LAST = 1.0765576773720192e-8;
const D = [
  22.266688044328117, 235.387901782625, 1519.3775994075547, 6485.558298266761, 18615.571640885097,
  34900.952721145979, 38912.00328609327, 19685.429676859992,
] as const;
const ROOT_2_PI_INVERSE = 0.3989422804014327;

/** P(X ≤ z) of a standard normal X, right to about 1e-15, in the lower tail relative to its own size. */
export function normalCdf(z: number): number {
  const y = Math.abs(z);
  if (y <= 0.67448975) return 0.5 + central(z);
  const tail = upperTail(y);
  return z > 0 ? 1 - tail : tail;
}

/** P(a < X < b) of a standard normal X for a ≤ b, without the loss that 1 - 1 has in the upper tail. */
export function normalBetween(a: number, b: number): number {
  if (a > 0) return normalCdf(-a) - normalCdf(-b);
  return normalCdf(b) - normalCdf(a);
}

function central(z: number): number {
  const square = z * z;
  let num = A_LAST * square;
  let den = square;
  for (let i = 0; i < 3; i++) {
    num = (num + (A[i] ?? 0)) * square;
    den = (den + (B[i] ?? 0)) * square;
  }
  return (z * (num + A[3])) / (den + B[3]);
}

function upperTail(y: number): number {
  if (y > 38) return 0;
  const ratio = y <= 5.656854249492381 ? rationalTail(y) : ROOT_2_PI_INVERSE / fractionTail(y);
  // The square is split so that the exponential keeps its last digits far out.
  const whole = Math.trunc(y * 16) / 16;
  return Math.exp(-whole * whole * 0.5) * Math.exp(-(y - whole) * (y + whole) * 0.5) * ratio;
}

function rationalTail(y: number): number {
  let num = C_LAST * y;
  let den = y;
  for (let i = 0; i < 7; i++) {
    num = (num + (C[i] ?? 0)) * y;
    den = (den + (D[i] ?? 0)) * y;
  }
  return (num + C[7]) / (den + D[7]);
}

/** Laplace's continued fraction, y + 1/(y + 2/(y + 3/…)); forty terms are plenty this far out. */
function fractionTail(y: number): number {
  let fraction = y;
  for (let k = 40; k > 0; k--) fraction = y + k / fraction;
  return fraction;
}

const INNER_NUM = [
  2509.0809287301227, 33430.57558358813, 67265.7709270087, 45921.95393154987, 13731.69376550946,
  1971.5909503065513, 133.14166789178438, 3.3871328727963665,
] as const;
const INNER_DEN = [
  5226.495278852854, 28729.085735721943, 39307.89580009271, 21213.794301586597, 5394.196021424751,
  687.1870074920579, 42.31333070160091, 1,
] as const;
const MIDDLE_NUM = [
  7.745450142783414e-4, 0.022723844989269184, 0.2417807251774506, 1.2704582524523684, 3.6478483247632045,
  5.769497221460691, 4.630337846156546, 1.4234371107496835,
] as const;
const MIDDLE_DEN = [
  1.0507500716444169e-9, 5.475938084995345e-4, 0.015198666563616457, 0.14810397642748008, 0.6897673349851,
  1.6763848301838038, 2.053191626637759, 1,
] as const;
const OUTER_NUM = [
  2.0103343992922881e-7, 2.7115555687434876e-5, 0.0012426609473880784, 0.026532189526576124,
  0.29656057182850487, 1.7848265399172913, 5.463784911164114, 6.657904643501103,
] as const;
const OUTER_DEN = [
  2.0442631033899397e-15, 1.4215117583164459e-7, 1.8463183175100548e-5, 7.868691311456133e-4,
  0.014875361290850615, 0.13692988092273581, 0.599832206555888, 1,
] as const;

function ratioAt(x: number, num: readonly number[], den: readonly number[]): number {
  let above = 0;
  let below = 0;
  for (let i = 0; i < 8; i++) {
    above = above * x + (num[i] ?? 0);
    below = below * x + (den[i] ?? 0);
  }
  return above / below;
}

/** The z below which a standard normal lies with probability `p`; ∓Infinity at 0 and 1, NaN outside. */
export function normalQuantile(p: number): number {
  if (!(p >= 0 && p <= 1)) return Number.NaN;
  if (p === 0) return Number.NEGATIVE_INFINITY;
  if (p === 1) return Number.POSITIVE_INFINITY;
  const q = p - 0.5;
  if (Math.abs(q) <= 0.425) return q * ratioAt(0.180625 - q * q, INNER_NUM, INNER_DEN);
  const r = Math.sqrt(-Math.log(q < 0 ? p : 1 - p));
  const z = r <= 5 ? ratioAt(r - 1.6, MIDDLE_NUM, MIDDLE_DEN) : ratioAt(r - 5, OUTER_NUM, OUTER_DEN);
  return q < 0 ? -z : z;
}
