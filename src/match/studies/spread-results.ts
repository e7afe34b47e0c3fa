import { backSubstitute, factorCholesky, forwardSubstitute, sampleQuantile } from '../../numerics/index.ts';
import { type HeldLimits, pointSlacks } from '../held-limits.ts';
import { LIMIT_KEYS } from '../limits.ts';
import { once, REASON_MESSAGES } from '../operating-line.ts';
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

const REASONS = [...Object.keys(REASON_MESSAGES), 'bad-input'] as readonly NoPointReason[];
const SOLVED = -1;

/**
 * What the samples of one engine speed come to: columns of numbers by sample, so that samples that were solved elsewhere can be put in.
 * Values without a point are NaN here and nowhere else.
 */
export class SpreadRecord {
  readonly values: Readonly<Record<SpreadOutput, Float64Array>>;
  /** SOLVED, or the place of its reason in REASONS; NaN: not solved yet. */
  readonly #reasons: Float64Array;
  /** A bit for each of LIMIT_KEYS. */
  readonly #crossed: Float64Array;

  constructor(samples: number) {
    const column = () => new Float64Array(samples).fill(Number.NaN);
    this.values = Object.fromEntries(SPREAD_OUTPUTS.map((output) => [output, column()])) as Record<
      SpreadOutput,
      Float64Array
    >;
    this.#reasons = column();
    this.#crossed = new Float64Array(samples);
  }

  get columns(): Float64Array[] {
    return [...Object.values(this.values), this.#reasons, this.#crossed];
  }

  add(sample: number, point: OperatingPoint, held: HeldLimits): void {
    this.#reasons[sample] = point.status === 'ok' ? SOLVED : REASONS.indexOf(point.status);
    if (point.status !== 'ok') return;
    for (const output of SPREAD_OUTPUTS) this.values[output][sample] = point[output] ?? Number.NaN;
    const slacks = pointSlacks(point, held);
    this.#crossed[sample] = LIMIT_KEYS.reduce((bits, _, i) => (slacks[i]! < -ROUNDING ? bits | (1 << i) : bits), 0);
  }

  counts(): Pick<SpreadAtSpeed, 'solved' | 'unsolved' | 'crossedShare' | 'crossedBy'> {
    const unsolved = new Map<NoPointReason, number>();
    const crossedBy = new Map<BindingLimit, number>();
    let crossed = 0;
    for (let sample = 0; sample < this.#reasons.length; sample++) {
      const reason = REASONS[this.#reasons[sample]!];
      if (reason !== undefined) unsolved.set(reason, (unsolved.get(reason) ?? 0) + 1);
      const bits = this.#crossed[sample]!;
      const limits: readonly BindingLimit[] =
        reason === undefined
          ? LIMIT_KEYS.filter((_, i) => (bits >> i) & 1)
          : reason === 'no-compression'
            ? []
            : [reason];
      if (limits.length > 0) crossed++;
      for (const limit of limits) crossedBy.set(limit, (crossedBy.get(limit) ?? 0) + 1);
    }
    const count = this.#reasons.length;
    const without = [...unsolved].map(([reason, samples]): UnsolvedCount => ({ reason, samples }));
    const by = [...crossedBy].map(([limit, samples]) => ({ limit, share: samples / count }));
    return {
      solved: count - without.reduce((sum, { samples }) => sum + samples, 0),
      unsolved: without.sort((a, b) => b.samples - a.samples),
      crossedShare: crossed / count,
      crossedBy: by.sort((a, b) => b.share - a.share),
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
const WITHOUT_GATE = KEYS.filter((key) => key !== 'gateFlow');

/** The tolerances that can move anything. */
function keysOf({ plan }: Data): readonly ToleranceKey[] {
  const { turbine } = plan.input;
  if (turbine === undefined) return WITHOUT_TURBINE;
  return turbine.gateAreaM2 === undefined || turbine.hasGate === false ? WITHOUT_GATE : KEYS;
}

/** Bands, chances and influences from the samples of a run. */
export function spreadResult(run: Data): SpreadDone {
  const { plan } = run;
  // Where every sample has a value, the regression's columns are the same at every engine speed.
  const ofAll = once(() =>
    influenceFit(
      run,
      Int32Array.from({ length: plan.samples }, (_, i) => i),
    ),
  );
  const atSpeeds = run.records.map((record, k) => atSpeed(run, record, k, ofAll));
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

function influenceFit(run: Data, samples: Int32Array): InfluenceFit {
  return new InfluenceFit(run.deviations, run.plan.tolerances, keysOf(run), samples);
}

function atSpeed(run: Data, record: SpreadRecord, k: number, ofAll: () => InfluenceFit): SpreadAtSpeed {
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
    const fit = fits.get(valid.length) ?? (valid.length === run.plan.samples ? ofAll() : influenceFit(run, valid));
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
  const fit = influenceFit(run, valid);
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
