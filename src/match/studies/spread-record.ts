import { sampleQuantile } from '../../numerics/index.ts';
import type { NoPointReason, OperatingPoint } from '../types.ts';
import { type HeldLimits, LIMIT_KEYS, leastSlack, pointSlacks } from './limit-slacks.ts';
import type { Band, BindingLimit, SpreadAtSpeed, SpreadOutput, UnsolvedCount } from './types.ts';

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
