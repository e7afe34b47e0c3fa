/** Coefficients of a polynomial, highest power first. */
type Polynomial = readonly number[];

/**
 * The three pieces of the approximation: the middle, the tails, the far tails.
 */
const MIDDLE: readonly [Polynomial, Polynomial] = [
  [
    2509.0809287301227, 33430.57558358813, 67265.7709270087, 45921.95393154987, 13731.69376550946, 1971.5909503065513,
    133.14166789178438, 3.3871328727963665,
  ],
  [
    5226.495278852854, 28729.085735721943, 39307.89580009271, 21213.794301586597, 5394.196021424751, 687.1870074920579,
    42.31333070160091, 1,
  ],
];
const TAIL: readonly [Polynomial, Polynomial] = [
  [
    0.0007745450142783414, 0.022723844989269184, 0.2417807251774506, 1.2704582524523684, 3.6478483247632045,
    5.769497221460691, 4.630337846156546, 1.4234371107496835,
  ],
  [
    1.0507500716444169e-9, 0.0005475938084995345, 0.015198666563616457, 0.14810397642748008, 0.6897673349851,
    1.6763848301838038, 2.053191626637759, 1,
  ],
];
const FAR_TAIL: readonly [Polynomial, Polynomial] = [
  [
    2.0103343992922881e-7, 0.000027115555687434876, 0.0012426609473880784, 0.026532189526576124, 0.29656057182850487,
    1.7848265399172913, 5.463784911164114, 6.657904643501103,
  ],
  [
    2.0442631033899397e-15, 1.421511758316446e-7, 0.000018463183175100548, 0.0007868691311456133, 0.014875361290850615,
    0.1369298809227358, 0.599832206555888, 1,
  ],
];

/**
 * Quantile of the standard normal distribution: the z with P(Z <= z) = p.
 *
 * Source: Wichura, "Algorithm AS 241: the percentage points of the normal distribution", Applied Statistics 37 (1988) 477; relative
 * error about 1e-16.
 *
 * @param p 0 < p < 1
 * @returns z; NaN for p outside 0..1, minus or plus infinity at its ends
 */
export function normalQuantile(p: number): number {
  const q = p - 0.5;
  if (Math.abs(q) <= 0.425) return q * ratio(MIDDLE, 0.180625 - q * q);
  const tail = q < 0 ? p : 1 - p;
  if (!(tail > 0)) return tail === 0 ? Math.sign(q) * Number.POSITIVE_INFINITY : Number.NaN;
  const r = Math.sqrt(-Math.log(tail));
  return Math.sign(q) * (r <= 5 ? ratio(TAIL, r - 1.6) : ratio(FAR_TAIL, r - 5));
}

function ratio([numerator, denominator]: readonly [Polynomial, Polynomial], x: number): number {
  return horner(numerator, x) / horner(denominator, x);
}

function horner(coefficients: Polynomial, x: number): number {
  let sum = 0;
  for (const c of coefficients) sum = sum * x + c;
  return sum;
}
