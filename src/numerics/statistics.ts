/**
 * Cumulative probability of the standard normal distribution, P(Z <= z), by the continued fraction of the tail and the series of the
 * middle. Source: Abramowitz & Stegun, Handbook of Mathematical Functions, 26.2.11 and 26.2.14 (from memory).
 *
 * @param z any number
 * @returns 0..1, absolute error below 1e-14
 */
export function normalProbability(z: number): number {
  if (Number.isNaN(z)) return Number.NaN;
  if (Math.abs(z) > 38) return z > 0 ? 1 : 0;
  const density = Math.exp(-0.5 * z * z) / Math.sqrt(2 * Math.PI);
  if (Math.abs(z) < 3) {
    let term = z;
    let sum = z;
    for (let n = 3; Math.abs(term) > 1e-17 * Math.abs(sum); n += 2) {
      term *= (z * z) / n;
      sum += term;
    }
    return 0.5 + density * sum;
  }
  const x = Math.abs(z);
  let fraction = x;
  for (let n = 200; n >= 1; n--) fraction = x + n / fraction;
  const tail = density / fraction;
  return z > 0 ? 1 - tail : tail;
}

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

/**
 * Quantile of a sample, linear between its ordered values (the definition that most statistics programs use first: Hyndman & Fan,
 * The American Statistician 50 (1996) 361, type 7).
 *
 * @param sorted rising, at least one value
 * @param share 0..1
 * @returns the value; NaN for an empty sample
 */
export function sampleQuantile(sorted: ArrayLike<number>, share: number): number {
  const at = share * (sorted.length - 1);
  const low = sorted[Math.floor(at)] ?? Number.NaN;
  const high = sorted[Math.ceil(at)] ?? Number.NaN;
  return low + (high - low) * (at - Math.floor(at));
}

/**
 * Puts values into an order in which those at the places that `sampleQuantile` reads for some shares stand where sorting would put them:
 * a third of what sorting costs. Source: Hoare, "Algorithm 65: Find", Comm. ACM 4 (1961) 321.
 *
 * @param values none of them NaN; reordered
 * @param shares 0..1, rising
 */
export function orderForQuantiles(values: Float64Array, shares: readonly number[]): void {
  let from = 0;
  for (const share of shares) {
    const at = share * (values.length - 1);
    for (const place of [Math.floor(at), Math.ceil(at)]) {
      if (place < from) continue;
      select(values, from, values.length - 1, place);
      from = place + 1;
    }
  }
}

/** Moves to `place` what sorting would put there, the smaller ones below it. */
function select(values: Float64Array, from: number, to: number, place: number): void {
  let [low, high] = [from, to];
  while (low < high) {
    const pivot = values[(low + high) >> 1]!;
    let [i, j] = [low, high];
    while (i <= j) {
      while (values[i]! < pivot) i++;
      while (values[j]! > pivot) j--;
      if (i > j) break;
      const kept = values[i]!;
      values[i++] = values[j]!;
      values[j--] = kept;
    }
    if (place <= j) high = j;
    else if (place >= i) low = i;
    else return;
  }
}

/**
 * Primitive polynomial (degree s, coefficients a) and first direction numbers m of dimensions 2 to 20.
 * Source: Joe & Kuo, "Constructing Sobol sequences with better two-dimensional projections", SIAM J. Sci. Comput. 30 (2008) 2635,
 * table new-joe-kuo-6.
 */
// biome-ignore format: one row a dimension, as the source prints them
const DIRECTIONS: readonly (readonly [s: number, a: number, ...m: number[]])[] = [
  [1, 0, 1],
  [2, 1, 1, 3],
  [3, 1, 1, 3, 1],
  [3, 2, 1, 1, 1],
  [4, 1, 1, 1, 3, 3],
  [4, 4, 1, 3, 5, 13],
  [5, 2, 1, 1, 5, 5, 17],
  [5, 4, 1, 1, 5, 5, 5],
  [5, 7, 1, 1, 7, 11, 19],
  [5, 11, 1, 1, 5, 1, 1],
  [5, 13, 1, 1, 1, 3, 11],
  [5, 14, 1, 3, 5, 5, 31],
  [6, 1, 1, 3, 3, 9, 7, 49],
  [6, 13, 1, 1, 1, 15, 21, 21],
  [6, 16, 1, 3, 1, 13, 27, 49],
  [6, 19, 1, 1, 1, 15, 7, 5],
  [6, 22, 1, 3, 1, 15, 13, 25],
  [6, 25, 1, 1, 5, 5, 19, 61],
  [7, 1, 1, 3, 7, 11, 23, 15, 103],
];

const BITS = 32;
export const MOST_SOBOL_DIMENSIONS = DIRECTIONS.length + 1;

/**
 * Sobol's low-discrepancy points in the unit cube, by index. With a seed they are scrambled as Owen does (nested uniform, each
 * dimension by its own hash), which keeps their evenness and makes every single point uniformly distributed, so that means over them
 * are unbiased. Sources: Joe & Kuo (2008); Burley, "Practical hash-based Owen scrambling", J. Computer Graphics Techniques 9(4) (2020).
 */
export class SobolPoints {
  readonly dimensions: number;
  readonly #directions: readonly Uint32Array[];
  /** null: as Sobol has them, the first point the origin. */
  readonly #seeds: Uint32Array | null;

  /**
   * @param dimensions 1..MOST_SOBOL_DIMENSIONS
   * @param seed whole number; null: not scrambled
   */
  constructor(dimensions: number, seed: number | null) {
    if (!(Number.isInteger(dimensions) && dimensions >= 1 && dimensions <= MOST_SOBOL_DIMENSIONS)) {
      throw new RangeError(`Sobol points are kept for 1 to ${MOST_SOBOL_DIMENSIONS} dimensions.`);
    }
    this.dimensions = dimensions;
    this.#directions = Array.from({ length: dimensions }, (_, d) => directionNumbers(d));
    this.#seeds = seed === null ? null : Uint32Array.from({ length: dimensions }, (_, d) => hash(seed, d));
  }

  /**
   * @param index 0..2^32-1; the first 2^k points are the most even
   * @returns one coordinate a dimension, 0 <= x < 1; scrambled ones 0 < x < 1
   */
  point(index: number): Float64Array {
    const gray = (index ^ (index >>> 1)) >>> 0;
    const point = new Float64Array(this.dimensions);
    for (let d = 0; d < point.length; d++) {
      const directions = this.#directions[d]!;
      let x = 0;
      for (let bit = 0, rest = gray; rest !== 0; bit++, rest >>>= 1) if (rest & 1) x ^= directions[bit]!;
      const share = this.#seeds === null ? x >>> 0 : scrambled(x >>> 0, this.#seeds[d]!) + 0.5;
      point[d] = share / 2 ** BITS;
    }
    return point;
  }
}

function directionNumbers(dimension: number): Uint32Array {
  const v = new Uint32Array(BITS);
  const row = DIRECTIONS[dimension - 1];
  if (row === undefined) {
    for (let i = 0; i < BITS; i++) v[i] = 1 << (BITS - 1 - i);
    return v;
  }
  const [s, a, ...m] = row;
  for (let i = 0; i < BITS; i++) {
    if (i < s) {
      v[i] = m[i]! << (BITS - 1 - i);
      continue;
    }
    let value = v[i - s]! ^ (v[i - s]! >>> s);
    for (let k = 1; k < s; k++) if ((a >>> (s - 1 - k)) & 1) value ^= v[i - k]!;
    v[i] = value;
  }
  return v;
}

/** Owen's nested scramble: each bit is flipped by a hash of the bits above it. In reversed order that is a carry-free hash upwards. */
function scrambled(x: number, seed: number): number {
  let y = reversed(x);
  y = (y + seed) | 0;
  y ^= Math.imul(y, 0x6c50b47c);
  y ^= Math.imul(y, 0xb82f1e52 | 0);
  y ^= Math.imul(y, 0xc7afe638 | 0);
  y ^= Math.imul(y, 0x8d22f6e6 | 0);
  return reversed(y >>> 0);
}

function reversed(x: number): number {
  let y = x;
  y = ((y >>> 1) & 0x55555555) | ((y & 0x55555555) << 1);
  y = ((y >>> 2) & 0x33333333) | ((y & 0x33333333) << 2);
  y = ((y >>> 4) & 0x0f0f0f0f) | ((y & 0x0f0f0f0f) << 4);
  y = ((y >>> 8) & 0x00ff00ff) | ((y & 0x00ff00ff) << 8);
  return ((y >>> 16) | (y << 16)) >>> 0;
}

/** An integer hash that spreads neighbouring seeds and dimensions over all 32 bits (finaliser of MurmurHash3, public domain). */
function hash(seed: number, dimension: number): number {
  let h = Math.imul(seed | 0, 0x9e3779b1) ^ Math.imul(dimension + 1, 0x85ebca6b);
  h ^= h >>> 16;
  h = Math.imul(h, 0x85ebca6b);
  h ^= h >>> 13;
  h = Math.imul(h, 0xc2b2ae35);
  return (h ^ (h >>> 16)) >>> 0;
}
