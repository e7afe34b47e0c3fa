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
    return Float64Array.from(this.#directions, (directions, d) => {
      let x = 0;
      for (let bit = 0, rest = gray; rest !== 0; bit++, rest >>>= 1) if (rest & 1) x ^= directions[bit]!;
      if (this.#seeds === null) return (x >>> 0) / 2 ** BITS;
      return (scrambled(x >>> 0, this.#seeds[d]!) + 0.5) / 2 ** BITS;
    });
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
