import { backSubstitute, evaluateCurve, factorCholesky, forwardSubstitute } from '../../numerics/index.ts';
import type { Tolerances } from '../studies/types.ts';
import type { CarPath } from './car-path.ts';
import {
  type BinModel,
  binModel,
  type FitBin,
  fitBins,
  knotWeights,
  OBSERVED,
  type Observed,
  type Unknowns,
  unknownsOf,
} from './fit-design.ts';
import type { WorkRow } from './log-rows.ts';
import type { MeteredRow } from './metered-rows.ts';
import type { NuisanceKey, RoadLogFit } from './result-types.ts';
import type { Priors } from './row-bands.ts';

/** A line of the fit: one observation of one bin. */
export interface FitLine {
  readonly bin: number;
  readonly kind: Observed;
  readonly residual: number;
  readonly deviation: number;
  /** By the unknowns. */
  readonly slopes: readonly number[];
}

/** The fit as linear algebra has it: lines, unknowns, what was known before, what is known now. */
export interface FitSystem {
  readonly bins: readonly FitBin[];
  readonly unknowns: Unknowns;
  /** At what is entered. */
  readonly lines: readonly FitLine[];
  readonly prior: readonly (readonly number[])[];
  readonly theta: readonly number[];
  readonly posterior: readonly (readonly number[])[];
}

const STEPS = 3;
const HUBER = 1.5;
const LEAST_BINS = 3;

/** Inverse of a symmetric positive-definite matrix; null where it is not. */
export function inverse(matrix: readonly (readonly number[])[]): number[][] | null {
  const n = matrix.length;
  const factor = Float64Array.from(matrix.flat());
  if (!factorCholesky(factor, n)) return null;
  const columns = Array.from({ length: n }, (_, j) => {
    const column = Float64Array.from({ length: n }, (__, i) => Number(i === j));
    forwardSubstitute(factor, n, column, column);
    backSubstitute(factor, n, column, column);
    return column;
  });
  return Array.from({ length: n }, (_, i) => columns.map((column) => column[i]!));
}

/** Covariance of the unknowns before the log: the entered curve's, common and in shape, and the tolerances. */
export function priorCovariance({ knotsRpm, keys }: Unknowns, priors: Priors, tolerances: Tolerances): number[][] {
  const { common, shape } = vePriors(tolerances);
  const size = knotsRpm.length + keys.length;
  return Array.from({ length: size }, (_, i) =>
    Array.from({ length: size }, (__, j) => {
      const [a, b] = [knotsRpm[i], knotsRpm[j]];
      // A trace of its own at each knot keeps a smooth curve's covariance invertible.
      if (a !== undefined && b !== undefined)
        return veCovariance(a - b, common, shape) + (i === j ? (0.02 * shape) ** 2 + 1e-12 : 0);
      return i === j ? priors[keys[i - knotsRpm.length]!] ** 2 : 0;
    }),
  );
}

/** Posterior covariance of lines with weights, and what they pull the unknowns to. */
export function solveLines(
  lines: readonly FitLine[],
  priorInverse: readonly (readonly number[])[],
  aims: readonly number[],
  weights: readonly number[],
): { covariance: number[][]; theta: number[] } | null {
  const size = priorInverse.length;
  const matrix = priorInverse.map((row) => [...row]);
  const right = new Array<number>(size).fill(0);
  lines.forEach((line, k) => {
    const weight = weights[k]! / line.deviation ** 2;
    for (let i = 0; i < size; i++) {
      const s = line.slopes[i] ?? 0;
      if (s === 0) continue;
      right[i]! += weight * s * aims[k]!;
      for (let j = 0; j < size; j++) matrix[i]![j]! += weight * s * (line.slopes[j] ?? 0);
    }
  });
  const covariance = inverse(matrix);
  return (
    covariance && { covariance, theta: covariance.map((row) => row.reduce((sum, c, j) => sum + c * right[j]!, 0)) }
  );
}

/**
 * Volumetric efficiency and everything else that may be off, together: Gauss-Newton with the priors as observations, outliers weighed down
 * (Huber, Ann. Math. Stat. 35 (1964) 73; Bayesian least squares as in Rodgers, Inverse Methods for Atmospheric Sounding, 2000, chapter 2:
 * both from memory). Measured stations are inputs of the model, their sensors' errors unknowns: a cooler or a filter that does not follow its
 * entered law then does not bend the curve.
 * @returns null where fewer than three bins of engine speed have a meter
 */
export function jointFit(
  path: CarPath,
  rows: readonly MeteredRow[],
  priors: Priors,
  tolerances: Tolerances,
): FitSystem | null {
  const all = fitBins(path, rows).filter((bin) =>
    (['shaft', 'airMass', 'fuel', 'power'] as const).some((kind) => bin.seen[kind] !== undefined),
  );
  if (all.length < LEAST_BINS) return null;
  const unknowns = unknownsOf(all, priors);
  const size = unknowns.knotsRpm.length + unknowns.keys.length;
  const zero = new Array<number>(size).fill(0);
  const entered = all.map((bin) => binModel(path, unknowns, priors, bin, zero));
  const bins = all.filter((_, i) => entered[i] !== null);
  const start = entered.filter((model) => model !== null);
  if (bins.length < LEAST_BINS) return null;
  const prior = priorCovariance(unknowns, priors, tolerances);
  const priorInverse = inverse(prior);
  if (priorInverse === null) return null;
  const lines = linesOf(bins, start, start);
  let [theta, models] = [zero, start];
  let solved: ReturnType<typeof solveLines> = null;
  for (let step = 0; step < STEPS; step++) {
    const here = linesOf(bins, start, models);
    const aims = here.map((line) => line.residual + line.slopes.reduce((sum, s, i) => sum + s * theta[i]!, 0));
    solved = solveLines(here, priorInverse, aims, here.map(huberWeight)) ?? solved;
    if (solved === null) return null;
    const next = bins.map((bin) => binModel(path, unknowns, priors, bin, solved!.theta));
    // Past the map's edge there is no model: what was found up to there stands.
    if (next.some((model) => model === null)) break;
    theta = solved.theta;
    models = next.filter((model) => model !== null);
  }
  if (solved === null) return null;
  return {
    bins,
    unknowns,
    lines,
    prior,
    theta,
    posterior: solved.covariance,
  };
}

function huberWeight(line: FitLine): number {
  const z = Math.abs(line.residual / line.deviation);
  return z <= HUBER ? 1 : HUBER / z;
}

/** Residual of an observation: as seen at what is entered, less what the model has moved since. */
function linesOf(bins: readonly FitBin[], start: readonly BinModel[], models: readonly BinModel[]): FitLine[] {
  return bins.flatMap((bin, b) =>
    OBSERVED.flatMap((kind) => {
      const seen = bin.seen[kind];
      if (seen === undefined) return [];
      const { at, slopes } = models[b]!;
      const residual = seen.residual - (at[kind] - start[b]!.at[kind]);
      return [{ bin: b, kind, residual, deviation: seen.deviation, slopes: slopes.map((s) => s[kind]) }];
    }),
  );
}

/** ln VE of the fit over the entered one at an engine speed. */
export function fittedLogVe({ unknowns, theta }: FitSystem, engineSpeedRpm: number): number {
  return knotWeights(unknowns, engineSpeedRpm).reduce((sum, w, i) => sum + w * theta[i]!, 0);
}

export function deviationAlong(covariance: readonly (readonly number[])[], along: readonly number[]): number {
  let variance = 0;
  along.forEach((a, i) => {
    if (a !== 0)
      along.forEach((b, j) => {
        if (b !== 0) variance += a * b * covariance[i]![j]!;
      });
  });
  return Math.sqrt(Math.max(0, variance));
}

export const rootMeanSquare = (values: readonly number[]) =>
  Math.sqrt(values.reduce((sum, x) => sum + x * x, 0) / Math.max(1, values.length));

/** The fit as it is given back. */
export function shownFit(path: CarPath, system: FitSystem): RoadLogFit {
  const { bins, unknowns, prior, posterior, theta, lines } = system;
  const knots = unknowns.knotsRpm.length;
  const coveredRpm = [
    Math.min(...bins.map((bin) => bin.rangeRpm[0])),
    Math.max(...bins.map((bin) => bin.rangeRpm[1])),
  ] as const;
  const { volumetricEfficiency } = path.line.input.engine;
  const inside = (n: number) => n > coveredRpm[0] && n < coveredRpm[1];
  const at = [
    ...coveredRpm,
    ...unknowns.knotsRpm.filter(inside),
    ...volumetricEfficiency.map((p) => p.engineSpeedRpm).filter(inside),
  ];
  const shaft = lines.filter((line) => line.kind === 'shaft');
  const ofSpeed = (covariance: FitSystem['prior']) =>
    rootMeanSquare(shaft.map((line) => deviationAlong(covariance, line.slopes)));
  return {
    volumetricEfficiency: [...new Set(at)]
      .sort((a, b) => a - b)
      .map((engineSpeedRpm) => {
        const weights = knotWeights(unknowns, engineSpeedRpm);
        const entered = evaluateCurve(volumetricEfficiency, engineSpeedRpm) ?? Number.NaN;
        const value = entered * Math.exp(fittedLogVe(system, engineSpeedRpm));
        return {
          engineSpeedRpm,
          entered,
          value,
          standardDeviation: value * deviationAlong(posterior, weights),
          priorDeviation: entered * deviationAlong(prior, weights),
        };
      }),
    coveredRpm,
    nuisances: unknowns.keys.map((key, i) => ({
      key,
      value: theta[knots + i]!,
      standardDeviation: Math.sqrt(posterior[knots + i]![knots + i]!),
      priorDeviation: Math.sqrt(prior[knots + i]![knots + i]!),
    })),
    shaftSpeedDeviation: { before: ofSpeed(prior), after: ofSpeed(posterior) },
  };
}

/** The entered curve is off by its tolerance as a whole, and by five sixths of that in its shape: standard deviations, wide on purpose. */
export function vePriors(tolerances: Tolerances): { common: number; shape: number } {
  return { common: tolerances.volumetricEfficiency, shape: (tolerances.volumetricEfficiency * 5) / 6 };
}

/** Shape of the entered curve holds together over this, rpm. */
export const SHAPE_LENGTH_RPM = 1200;

/** How ln N of the prediction answers to one prior deviation of each thing that may be off, at a row. */
export function speedAnswers(path: CarPath, row: WorkRow, priors: Priors): Map<NuisanceKey, number> {
  const answers = new Map<NuisanceKey, number>();
  const base = row.predicted?.shaftSpeedRpm;
  if (base === undefined) return answers;
  for (const key of Object.keys(priors) as NuisanceKey[]) {
    if (priors[key] === 0) continue;
    const moved = path.biased({ [key]: priors[key] }).predict(row.readings)?.shaftSpeedRpm;
    if (moved !== undefined) answers.set(key, Math.log(moved / base));
  }
  return answers;
}

const MOST_ROWS = 7;
/** Where no row tells: what the demonstration's turbos have. */
const USUAL = 0.018;

/**
 * By how much the mean of ln(logged/predicted) over rows may be off through all that is entered, one standard deviation: what is common to
 * the rows adds up before it is squared.
 */
export function inputDeviation(
  path: CarPath,
  rows: readonly WorkRow[],
  priors: Priors,
  tolerances: Tolerances,
): number {
  const count = Math.min(MOST_ROWS, rows.length);
  if (count === 0) return USUAL;
  const taken = Array.from({ length: count }, (_, i) => rows[Math.floor(((i + 0.5) * rows.length) / count)]!);
  const sums = new Map<string, number>();
  const ve: { at: number; answer: number }[] = [];
  for (const row of taken) {
    for (const [key, answer] of speedAnswers(path, row, priors)) sums.set(key, (sums.get(key) ?? 0) + answer / count);
    const moved = path.predict(row.readings, 1.01);
    if (moved !== null)
      ve.push({
        at: row.readings.engineSpeedRpm,
        answer: Math.log(moved.shaftSpeedRpm / row.predicted!.shaftSpeedRpm) / 0.01 / count,
      });
  }
  const { common, shape } = vePriors(tolerances);
  let variance = 0;
  for (const sum of sums.values()) variance += sum * sum;
  for (const one of ve)
    for (const other of ve) variance += one.answer * other.answer * veCovariance(one.at - other.at, common, shape);
  return Math.sqrt(variance);
}

/** Prior covariance of ln VE at two engine speeds this far apart. */
export function veCovariance(apartRpm: number, common: number, shape: number): number {
  return common * common + shape * shape * Math.exp(-0.5 * (apartRpm / SHAPE_LENGTH_RPM) ** 2);
}
