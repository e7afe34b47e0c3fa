import { backSubstitute, factorCholesky, forwardSubstitute } from '../../numerics/index.ts';
import { deviationOf } from './draw-sample.ts';
import { picked } from './spread-record.ts';
import type { Influence, ToleranceKey, Tolerances } from './types.ts';

/** Samples for each unknown that a regression needs to mean anything. */
const SAMPLES_PER_UNKNOWN = 4;

/**
 * What each tolerance does to a result: a least-squares regression of the result on every deviation and its square, in standard
 * deviations. With independent inputs the variance of one input's part is its first-order share (Saltelli et al., Global Sensitivity
 * Analysis (2008), sections 1.2 and 4.6); what products of two inputs do is left unexplained.
 */
export class InfluenceFit {
  readonly #keys: readonly ToleranceKey[];
  /** Columns of the regression at the valid samples: 1, x of each key, x^2 - 1 of each key. */
  readonly #columns: readonly Float64Array[];
  readonly #factor: Float64Array | null;
  readonly #samples: Int32Array;

  /**
   * @param deviations of each key by sample, in the tolerance's unit
   * @param samples those that count
   */
  constructor(
    deviations: Readonly<Record<ToleranceKey, Float64Array>>,
    tolerances: Tolerances,
    keys: readonly ToleranceKey[],
    samples: Int32Array,
  ) {
    this.#keys = keys.filter((key) => tolerances[key] > 0);
    this.#samples = samples;
    const columns: Float64Array[] = [new Float64Array(samples.length).fill(1)];
    for (const power of [1, 2]) {
      for (const key of this.#keys) {
        const sigma = deviationOf(tolerances[key]);
        const column = picked(deviations[key], samples);
        for (let i = 0; i < column.length; i++) {
          const x = column[i]! / sigma;
          column[i] = power === 1 ? x : x * x - 1;
        }
        columns.push(column);
      }
    }
    this.#columns = columns;
    this.#factor = samples.length >= SAMPLES_PER_UNKNOWN * columns.length ? factored(columns) : null;
  }

  /**
   * @param values of the result by sample
   * @returns worst first; none where there are too few samples or the result does not vary
   */
  of(values: Float64Array): Influence[] {
    const y = picked(values, this.#samples);
    const { mean, variance } = moments(y);
    if (this.#factor === null || !(variance > (1e-9 * Math.abs(mean)) ** 2)) return [];
    const { coefficients, explained } = this.#solved(this.#factor, y, mean);
    const m = this.#keys.length;
    const parts = this.#keys.map((key, j) => {
      const linear = coefficients[1 + j]!;
      const square = coefficients[1 + m + j]!;
      const part = this.#partVariance(1 + j, linear, 1 + m + j, square);
      // From 0 to 2 standard deviations: b x + c (x^2 - 1) rises by 2 b + 4 c.
      return { key, part, effect: 2 * linear + 4 * square };
    });
    // In a finite sample the deviations are a percent or so correlated: what the regression explains as a whole is shared out.
    const total = parts.reduce((sum, { part }) => sum + part, 0);
    const scale = total > 0 ? Math.min(1, explained / variance) / total : 0;
    return parts
      .map(({ key, part, effect }) => ({ key, share: part * scale, effect }))
      .sort((a, b) => b.share - a.share);
  }

  #solved(factor: Float64Array, y: Float64Array, mean: number): { coefficients: Float64Array; explained: number } {
    const n = this.#columns.length;
    const right = Float64Array.from(this.#columns, (column) => dot(column, y, mean));
    const coefficients = new Float64Array(n);
    forwardSubstitute(factor, n, right, coefficients);
    // With L z = X'y the sum of squares that the regression explains is z'z.
    const explained = coefficients.reduce((sum, z) => sum + z * z, 0) / y.length;
    backSubstitute(factor, n, coefficients, coefficients);
    return { coefficients, explained };
  }

  #partVariance(i: number, b: number, j: number, c: number): number {
    const x = this.#columns[i]!;
    const z = this.#columns[j]!;
    let sum = 0;
    let squares = 0;
    for (let k = 0; k < x.length; k++) {
      const part = b * x[k]! + c * z[k]!;
      sum += part;
      squares += part * part;
    }
    return squares / x.length - (sum / x.length) ** 2;
  }
}

function moments(y: Float64Array): { mean: number; variance: number } {
  let sum = 0;
  for (let k = 0; k < y.length; k++) sum += y[k]!;
  const mean = sum / y.length;
  let squares = 0;
  for (let k = 0; k < y.length; k++) squares += (y[k]! - mean) ** 2;
  return { mean, variance: squares / y.length };
}

function dot(column: Float64Array, y: Float64Array, mean: number): number {
  let sum = 0;
  for (let k = 0; k < y.length; k++) sum += column[k]! * (y[k]! - mean);
  return sum;
}

function factored(columns: readonly Float64Array[]): Float64Array | null {
  const n = columns.length;
  const matrix = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) matrix[i * n + j] = dot(columns[i]!, columns[j]!, 0);
  }
  return factorCholesky(matrix, n) ? matrix : null;
}
