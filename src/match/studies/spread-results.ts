import {
  backSubstitute,
  factorCholesky,
  forwardSubstitute,
  orderForQuantiles,
  sampleQuantile,
} from '../../numerics/index.ts';
import { type HeldLimits, pointSlacks } from '../held-limits.ts';
import { LIMIT_KEYS } from '../limits.ts';
import { once, REASON_MESSAGES } from '../operating-line.ts';
import type { NoPointReason, OperatingPoint } from '../types.ts';
import { deviationOf } from './samples.ts';
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

/** A share of the variance that is rounding. */
const NOTHING = 1e-18;

/**
 * What each tolerance does to a result: a least-squares regression of the result on every deviation and its square, in standard
 * deviations. With independent inputs the variance of one input's part is its first-order share (Saltelli et al., Global Sensitivity
 * Analysis (2008), sections 1.2 and 4.6); what products of two inputs do is left unexplained.
 */
class InfluenceFit {
  readonly #keys: readonly ToleranceKey[];
  /** Columns of the regression at the valid samples: 1, x of each key, x^2 - 1 of each key. */
  readonly #columns: readonly Float64Array[];
  /** Products of the columns with each other, lower triangle; and its factor, null where there is none. */
  readonly #products: Float64Array;
  readonly #factor: Float64Array | null;
  readonly #samples: Int32Array;

  /**
   * @param deviations of each key by sample, in the tolerance's unit
   * @param keys of tolerances that are not nothing
   * @param samples those that count
   */
  constructor(
    deviations: Readonly<Record<ToleranceKey, Float64Array>>,
    tolerances: Tolerances,
    keys: readonly ToleranceKey[],
    samples: Int32Array,
  ) {
    this.#keys = keys;
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
    this.#products = products(columns);
    const factor = this.#products.slice();
    const isEnough = samples.length >= SAMPLES_PER_UNKNOWN * columns.length;
    this.#factor = isEnough && factorCholesky(factor, columns.length) ? factor : null;
  }

  /**
   * @param values of the result by sample
   * @param nominal the result without any tolerance; NaN: none
   * @param ends the result with each tolerance alone at its upper and its lower end, one after the other; NaN: none
   * @returns worst first; none where there are too few samples or the result does not vary
   */
  of(values: Float64Array, nominal: number, ends: Float64Array): Influence[] {
    const y = picked(values, this.#samples);
    const { mean, variance } = centred(y);
    if (this.#factor === null || !(variance > (1e-9 * Math.abs(mean)) ** 2)) return [];
    const { coefficients, explained } = this.#solved(this.#factor, y);
    const m = this.#keys.length;
    const unsure = SURE * Math.sqrt(Math.max(0, variance - explained) / y.length);
    const parts = this.#keys.map((key, j) => {
      const linear = coefficients[1 + j]!;
      const square = coefficients[1 + m + j]!;
      const part = this.#partVariance(1 + j, linear, 1 + m + j, square);
      if (!(part > NOTHING * variance)) return { key, part: 0, effect: 0 };
      const alone = { up: ends[2 * j]! - nominal, down: nominal - ends[2 * j + 1]! };
      return { key, part, effect: effectOf(linear, square, unsure, alone) };
    });
    // In a finite sample the deviations are a percent or so correlated: what the regression explains as a whole is shared out.
    const total = parts.reduce((sum, { part }) => sum + part, 0);
    const scale = total > 0 ? Math.min(1, explained / variance) / total : 0;
    return parts
      .map(({ key, part, effect }) => ({ key, share: part * scale, effect }))
      .sort((a, b) => b.share - a.share);
  }

  #solved(factor: Float64Array, y: Float64Array): { coefficients: Float64Array; explained: number } {
    const n = this.#columns.length;
    const right = Float64Array.from(this.#columns, (column) => dot(column, y));
    const coefficients = new Float64Array(n);
    forwardSubstitute(factor, n, right, coefficients);
    // With L z = X'y the sum of squares that the regression explains is z'z.
    const explained = coefficients.reduce((sum, z) => sum + z * z, 0) / y.length;
    backSubstitute(factor, n, coefficients, coefficients);
    return { coefficients, explained };
  }

  /** Of b times a column and c times a later one, from their products. */
  #partVariance(i: number, b: number, j: number, c: number): number {
    const n = this.#columns.length;
    const of = (row: number, column: number) => this.#products[row * n + column]! / this.#samples.length;
    const mean = b * of(i, 0) + c * of(j, 0);
    return b * b * of(i, i) + 2 * b * c * of(j, i) + c * c * of(j, j) - mean * mean;
  }
}

/** Standard errors by which a slope may be off. */
const SURE = 2;
/** As near as this share the solve of an input alone comes to what it does among others, where nothing has a kink. */
const BORNE_OUT = 0.5;

/**
 * Change of a result when an input goes up by its whole tolerance: from 0 to 2 standard deviations b x + c (x^2 - 1) rises by 2 b + 4 c.
 * Over a kink (a shut gate in some samples, another limit of a ceiling) the parabola turns within the tolerance although the result does
 * not. Where no solve bears out the turn, the mean slope b stands for both sides: with a normal x it is that of the relation whatever its
 * form (Stein, Annals of Statistics 9 (1981) 1135, lemma 1), so its sign is right wherever the relation only rises or only falls. Of a
 * slope whose sign the samples leave open, the two solves say more; as far as the samples allow, for next to a cliff they say too much.
 *
 * @param unsure how far the slope may be off
 * @param alone change of the result by solves with this input alone at its ends; NaN: none
 */
function effectOf(linear: number, square: number, unsure: number, alone: { up: number; down: number }): number {
  const parabola = 2 * linear + 4 * square;
  const isKnown = Math.abs(linear) > unsure;
  const isTurning = linear + 4 * square > 0 !== linear > 0;
  if (isKnown && !isTurning) return parabola;
  const most = Math.max(Math.abs(alone.up), Math.abs(parabola));
  if (Math.abs(alone.up - parabola) <= BORNE_OUT * most) return parabola;
  const both = (alone.up + alone.down) / 2;
  if (isKnown || Number.isNaN(both)) return 2 * linear;
  return Math.min(2 * (linear + unsure), Math.max(2 * (linear - unsure), both));
}

/** Takes the mean off the values. */
function centred(y: Float64Array): { mean: number; variance: number } {
  let sum = 0;
  for (let k = 0; k < y.length; k++) sum += y[k]!;
  const mean = sum / y.length;
  let squares = 0;
  for (let k = 0; k < y.length; k++) {
    const off = y[k]! - mean;
    y[k] = off;
    squares += off * off;
  }
  return { mean, variance: squares / y.length };
}

/** Four sums side by side: a single one would wait for each addition before it could begin the next. */
function dot(column: Float64Array, y: Float64Array): number {
  let [s0, s1, s2, s3] = [0, 0, 0, 0];
  let k = 0;
  for (; k + 3 < column.length; k += 4) {
    s0 += column[k]! * y[k]!;
    s1 += column[k + 1]! * y[k + 1]!;
    s2 += column[k + 2]! * y[k + 2]!;
    s3 += column[k + 3]! * y[k + 3]!;
  }
  for (; k < column.length; k++) s0 += column[k]! * y[k]!;
  return s0 + s1 + (s2 + s3);
}

function products(columns: readonly Float64Array[]): Float64Array {
  const n = columns.length;
  const matrix = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) matrix[i * n + j] = dot(columns[i]!, columns[j]!);
  }
  return matrix;
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

function numberOf(point: OperatingPoint, output: SpreadOutput): number {
  return (point.status === 'ok' ? point[output] : null) ?? Number.NaN;
}

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
    for (const output of SPREAD_OUTPUTS) this.values[output][sample] = numberOf(point, output);
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
      if (reason === undefined && bits === 0) continue;
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
function validSamples(values: Float64Array): Int32Array {
  const valid = new Int32Array(values.length);
  let count = 0;
  for (let i = 0; i < values.length; i++) if (!Number.isNaN(values[i]!)) valid[count++] = i;
  return valid.subarray(0, count);
}

/** The values of some samples. */
function picked(values: Float64Array, samples: Int32Array): Float64Array {
  const some = new Float64Array(samples.length);
  for (let i = 0; i < samples.length; i++) some[i] = values[samples[i]!]!;
  return some;
}

/** P10, P50 and P90 over the samples that have a value; null where there are fewer than ten. */
function bandOf(values: Float64Array, valid: Int32Array): Band | null {
  if (valid.length < LEAST_VALUES) return null;
  const some = picked(values, valid);
  orderForQuantiles(some, [0.1, 0.5, 0.9]);
  return { p10: sampleQuantile(some, 0.1), p50: sampleQuantile(some, 0.5), p90: sampleQuantile(some, 0.9) };
}

type Data = Pick<
  SpreadRun,
  'plan' | 'nominal' | 'nominalCeilings' | 'records' | 'ceilings' | 'deviations' | 'active' | 'ends' | 'ceilingEnds'
>;

/** Bands, chances and influences from the samples of a run. */
export function spreadResult(run: Data): SpreadDone {
  const { plan } = run;
  // Where every sample has a value, the regression's columns are the same at every engine speed.
  const ofAll = once(() => influenceFit(run, firstSamples(plan.samples)));
  const atSpeeds = run.records.map((record, k) => atSpeed(run, record, k, ofAll));
  const asked = Math.min(plan.ceilingSamples, plan.samples);
  const ofAsked = once(() => influenceFit(run, firstSamples(asked)));
  const ceilings = run.nominalCeilings.map((_, k) => ceilingAt(run, k, asked, ofAsked));
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

function firstSamples(count: number): Int32Array {
  return Int32Array.from({ length: count }, (_, i) => i);
}

function influenceFit(run: Data, samples: Int32Array): InfluenceFit {
  return new InfluenceFit(run.deviations, run.plan.tolerances, run.active, samples);
}

function atSpeed(run: Data, record: SpreadRecord, k: number, ofAll: () => InfluenceFit): SpreadAtSpeed {
  const bands = {} as Record<SpreadOutput, Band | null>;
  // Most outputs have a value at every solved sample; one fit serves them all.
  const fits = new Map<number, InfluenceFit>();
  const influences: Partial<Record<SpreadOutput, readonly Influence[]>> = {};
  const nominal = run.nominal[k]!;
  for (const output of SPREAD_OUTPUTS) {
    const values = record.values[output];
    const valid = validSamples(values);
    bands[output] = bandOf(values, valid);
    if (bands[output] === null) continue;
    const fit = fits.get(valid.length) ?? (valid.length === run.plan.samples ? ofAll() : influenceFit(run, valid));
    fits.set(valid.length, fit);
    influences[output] = fit.of(values, numberOf(nominal, output), run.ends[k]!.values[output]);
  }
  const engineSpeedRpm = run.plan.engineSpeedsRpm[k]!;
  return { engineSpeedRpm, nominal, bands, ...record.counts(), influences };
}

function ceilingAt(run: Data, k: number, samples: number, ofAll: () => InfluenceFit): SpreadCeiling {
  const values = run.ceilings[k]!;
  const valid = validSamples(values);
  const fit = valid.length === samples ? ofAll() : influenceFit(run, valid);
  const nominal = run.nominalCeilings[k]!;
  const nominalPa = nominal.status === 'ok' ? nominal.manifoldPressurePa : Number.NaN;
  return {
    engineSpeedRpm: run.plan.engineSpeedsRpm[k]!,
    nominal,
    band: bandOf(values, valid),
    samples,
    noneHolds: samples - valid.length,
    influences: fit.of(values, nominalPa, run.ceilingEnds[k]!),
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
