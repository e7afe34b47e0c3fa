import { backSubstitute, factorCholesky, forwardSubstitute, sampleQuantile } from '../../numerics/index.ts';
import { type HeldLimits, leastSlack, pointSlacks } from '../held-limits.ts';
import { LIMIT_KEYS } from '../limits.ts';
import type { NoPointReason, OperatingPoint } from '../types.ts';
import { deviationOf, TOLERANCE_TABLE, TURBINE_TOLERANCES } from './samples.ts';
import type { SpreadRun } from './spread.ts';
import type {
  Band,
  BindingLimit,
  Influence,
  SpreadAtSpeed,
  SpreadCeiling,
  SpreadDone,
  SpreadOutput,
  ToleranceKey,
  Tolerances,
  UnsolvedCount,
} from './types.ts';

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

export const SPREAD_OUTPUTS: readonly SpreadOutput[] = [
  'shaftSpeedRpm',
  'airMassFlowKgPerS',
  'correctedMassFlowKgPerS',
  'pressureRatio',
  'manifoldPressurePa',
  'compressorOutletTemperatureK',
  'brakePowerW',
  'speedMargin',
  'surgeMargin',
  'chokeMargin',
  'turbineInletPressurePa',
  'backPressureRatio',
  'wastegateShare',
];

/** A band of fewer values than this says nothing. */
const LEAST_VALUES = 10;
const ROUNDING = 1e-9;

/** What the samples of one engine speed come to. Values without a point are NaN here and nowhere else. */
export class SpreadRecord {
  readonly values: Readonly<Record<SpreadOutput, Float64Array>>;
  readonly #unsolved = new Map<NoPointReason, number>();
  readonly #crossedBy = new Map<BindingLimit, number>();
  #crossed = 0;
  #count = 0;

  constructor(samples: number) {
    this.values = Object.fromEntries(
      SPREAD_OUTPUTS.map((output) => [output, new Float64Array(samples).fill(Number.NaN)]),
    ) as Record<SpreadOutput, Float64Array>;
  }

  add(sample: number, point: OperatingPoint, held: HeldLimits): void {
    this.#count++;
    if (point.status !== 'ok') {
      this.#unsolved.set(point.status, (this.#unsolved.get(point.status) ?? 0) + 1);
      if (point.status !== 'no-compression') this.#cross([point.status]);
      return;
    }
    for (const output of SPREAD_OUTPUTS) this.values[output][sample] = point[output] ?? Number.NaN;
    const slacks = pointSlacks(point, held);
    if (leastSlack(slacks) < -ROUNDING) this.#cross(LIMIT_KEYS.filter((_, i) => slacks[i]! < -ROUNDING));
  }

  #cross(limits: readonly BindingLimit[]): void {
    if (limits.length > 0) this.#crossed++;
    for (const limit of limits) this.#crossedBy.set(limit, (this.#crossedBy.get(limit) ?? 0) + 1);
  }

  counts(): Pick<SpreadAtSpeed, 'solved' | 'unsolved' | 'crossedShare' | 'crossedBy'> {
    const unsolved: UnsolvedCount[] = [...this.#unsolved].map(([reason, samples]) => ({ reason, samples }));
    const crossedBy = [...this.#crossedBy].map(([limit, samples]) => ({ limit, share: samples / this.#count }));
    return {
      solved: this.#count - unsolved.reduce((sum, { samples }) => sum + samples, 0),
      unsolved: unsolved.sort((a, b) => b.samples - a.samples),
      crossedShare: this.#crossed / this.#count,
      crossedBy: crossedBy.sort((a, b) => b.share - a.share),
    };
  }
}

/** Indices of the samples that have a value. */
export function validSamples(values: Float64Array): Int32Array {
  const valid: number[] = [];
  for (let i = 0; i < values.length; i++) if (!Number.isNaN(values[i]!)) valid.push(i);
  return Int32Array.from(valid);
}

/** The values of some samples. */
export function picked(values: Float64Array, samples: Int32Array): Float64Array {
  const some = new Float64Array(samples.length);
  for (let i = 0; i < samples.length; i++) some[i] = values[samples[i]!]!;
  return some;
}

/** P10, P50 and P90 of the samples that have a value; null where there are fewer than ten. */
export function bandOf(values: Float64Array): Band | null {
  const sorted = picked(values, validSamples(values)).sort();
  if (sorted.length < LEAST_VALUES) return null;
  return { p10: sampleQuantile(sorted, 0.1), p50: sampleQuantile(sorted, 0.5), p90: sampleQuantile(sorted, 0.9) };
}

type Data = Pick<SpreadRun, 'plan' | 'nominal' | 'nominalCeilings' | 'records' | 'ceilings' | 'deviations'>;

const KEYS = TOLERANCE_TABLE.map(({ key }) => key);
const WITHOUT_TURBINE = KEYS.filter((key) => !TURBINE_TOLERANCES.has(key));

/** The tolerances that can move anything. */
function keysOf({ plan }: Data): readonly ToleranceKey[] {
  return plan.input.turbine === undefined ? WITHOUT_TURBINE : KEYS;
}

/** Bands, chances and influences from the samples of a run. */
export function spreadResult(run: Data): SpreadDone {
  const { plan } = run;
  const atSpeeds = run.records.map((record, k) => atSpeed(run, record, k));
  const ceilings = run.nominalCeilings.map((_, k) => ceilingAt(run, k));
  const overall = Object.fromEntries(
    SPREAD_OUTPUTS.map((output): [SpreadOutput, readonly Influence[]] => [
      output,
      pooled(atSpeeds.map((at) => ({ band: at.bands[output], influences: at.influences[output] ?? [] }))),
    ]),
  ) as Record<SpreadOutput, readonly Influence[]>;
  return {
    status: 'done',
    samples: plan.samples,
    seed: plan.seed,
    tolerances: plan.tolerances,
    limits: plan.limits,
    atSpeeds,
    ceilings,
    influences: { ...overall, ceilingPa: pooled(ceilings) },
  };
}

function atSpeed(run: Data, record: SpreadRecord, k: number): SpreadAtSpeed {
  const bands = Object.fromEntries(SPREAD_OUTPUTS.map((output) => [output, bandOf(record.values[output])])) as Record<
    SpreadOutput,
    Band | null
  >;
  // Most outputs have a value at every solved sample; one fit serves them all.
  const fits = new Map<number, InfluenceFit>();
  const influences: Partial<Record<SpreadOutput, readonly Influence[]>> = {};
  for (const output of SPREAD_OUTPUTS) {
    if (bands[output] === null) continue;
    const valid = validSamples(record.values[output]);
    const fit = fits.get(valid.length) ?? new InfluenceFit(run.deviations, run.plan.tolerances, keysOf(run), valid);
    fits.set(valid.length, fit);
    influences[output] = fit.of(record.values[output]);
  }
  const engineSpeedRpm = run.plan.engineSpeedsRpm[k]!;
  return { engineSpeedRpm, nominal: run.nominal[k]!, bands, ...record.counts(), influences };
}

function ceilingAt(run: Data, k: number): SpreadCeiling {
  const values = run.ceilings[k]!;
  const valid = validSamples(values);
  const samples = Math.min(run.plan.ceilingSamples, run.plan.samples);
  const fit = new InfluenceFit(run.deviations, run.plan.tolerances, keysOf(run), valid);
  return {
    engineSpeedRpm: run.plan.engineSpeedsRpm[k]!,
    nominal: run.nominalCeilings[k]!,
    band: bandOf(values),
    samples,
    noneHolds: samples - valid.length,
    influences: fit.of(values),
  };
}

/** Shares over all engine speeds, each weighted by the square of its band's width; effects averaged. */
function pooled(parts: readonly { band: Band | null; influences: readonly Influence[] }[]): Influence[] {
  const sums = new Map<ToleranceKey, { share: number; effect: number }>();
  let weights = 0;
  let count = 0;
  for (const { band, influences } of parts) {
    if (band === null || influences.length === 0) continue;
    const weight = (band.p90 - band.p10) ** 2;
    weights += weight;
    count++;
    for (const { key, share, effect } of influences) {
      const sum = sums.get(key) ?? { share: 0, effect: 0 };
      sums.set(key, { share: sum.share + weight * share, effect: sum.effect + effect });
    }
  }
  if (!(weights > 0)) return [];
  return [...sums]
    .map(([key, sum]) => ({ key, share: sum.share / weights, effect: sum.effect / count }))
    .sort((a, b) => b.share - a.share);
}
