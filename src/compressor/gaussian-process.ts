import { backSubstitute, factorCholesky, forwardSubstitute, logDeterminant } from '../numerics/index.ts';
import type { FlowUnit } from './types.ts';

/** Steps that a person rounds to, coarsest first. */
const STEPS = [1, 0.5, 0.2, 0.1, 0.05, 0.02, 0.01, 0.005, 0.002, 0.001, 0.0005, 0.0002, 0.0001] as const;

/**
 * The rounding step of a column of entered numbers: the coarsest of 1, 0.5, 0.2, 0.1 ... 0.0001 (times `unit`) of which every value is a
 * whole multiple. 0 when there is none (values carried over from a calculation) or when there are fewer than two values.
 */
export function readingStep(values: readonly number[], unit = 1): number {
  if (values.length < 2) return 0;
  for (const step of STEPS) {
    if (values.every((value) => Math.abs(value / (step * unit) - Math.round(value / (step * unit))) < 1e-4)) {
      return step * unit;
    }
  }
  return 0;
}

/** Coarser flow steps exist only where the unit's numbers are large: cfm sheets are read to 5 or 10. */
export function flowReadingStep(flows: readonly number[], unit: FlowUnit): number {
  const tens = unit === 'cfm' ? readingStep(flows, 10) : 0;
  return tens || readingStep(flows);
}

/** Standard deviation of a uniform rounding error over one step. */
export const ROUNDING_DEVIATION = 1 / Math.sqrt(12);

/**
 * Gaussian-process regression over two similarity coordinates: `angle` (the throttle coordinate, along a speed line) and `size`
 * (the speed coordinate, across lines). The covariance says what similarity says: one smooth function of the angle alone, which
 * holds for every speed, plus a smaller smooth correction that changes slowly with speed, plus a constant. Reading noise is known for
 * each point from the sheet's rounding, so the fit neither ripples through rounding steps nor smooths away what was measured.
 * Source: Rasmussen & Williams, Gaussian Processes for Machine Learning (2006), algorithm 2.1 and eqs. 5.8-5.9; the two-part
 * covariance is ours.
 */
export interface ProcessData {
  readonly angle: Float64Array;
  readonly size: Float64Array;
  readonly value: Float64Array;
  /** Standard deviation of each value from reading, in units of value. */
  readonly noise: Float64Array;
}

/** Natural logarithms of: similarity amplitude and angle length; correction amplitude, angle length and size length; factor on the noise. */
export type LogHyper = readonly [number, number, number, number, number, number];

export interface HyperPrior {
  mean: LogHyper;
  /** Standard deviation of each logarithm. */
  spread: LogHyper;
}

export interface ProcessFit {
  readonly hyper: LogHyper;
  readonly data: ProcessData;
  readonly weights: Float64Array;
  /** Posterior mean minus entered value at each point. */
  readonly residual: Float64Array;
}

/** Variance of the constant part: wide against any value that is fitted (logs of speed ratios, efficiencies). */
export const CONSTANT_VARIANCE = 1;
/** Keeps the factor positive definite when two points coincide; 3e-5 in standard deviation, below any reading. */
const JITTER = 1e-9;
/**
 * Passes of the search for the lengths, and the points that each runs on at most: it costs the cube. The last must see a usual sheet
 * whole (nine lines of nine points): lengths that were found on three quarters of it miss speed between the lines by half as much again.
 */
const PASS_POINTS = [40, 40, 90];
/** A residual within this many standard deviations of the scatter is scatter: half a rounding step is 1.73 of its own. */
const SCATTER_ALLOWED = 1.8;
const FIRST_STEP = 0.5;
const STEP_SHRINK = 0.6;

class Covariance {
  private readonly data: ProcessData;
  private readonly count: number;
  private readonly angleSquare: Float64Array;
  private readonly sizeSquare: Float64Array;
  /** The two exponentials of each pair, kept while their lengths are the same: most steps of the search change only one of six numbers. */
  private readonly similarity: Float64Array;
  private readonly correction: Float64Array;
  private similarityAngle = Number.NaN;
  private correctionAngle = Number.NaN;
  private correctionSize = Number.NaN;
  readonly matrix: Float64Array;
  private readonly scratch: Float64Array;

  constructor(data: ProcessData) {
    this.data = data;
    const n = data.angle.length;
    this.count = n;
    this.matrix = new Float64Array(n * n);
    this.scratch = new Float64Array(n);
    this.angleSquare = new Float64Array((n * (n + 1)) / 2);
    this.sizeSquare = new Float64Array((n * (n + 1)) / 2);
    this.similarity = new Float64Array((n * (n + 1)) / 2);
    this.correction = new Float64Array((n * (n + 1)) / 2);
    let q = 0;
    for (let i = 0; i < n; i++) {
      for (let j = 0; j <= i; j++, q++) {
        this.angleSquare[q] = -0.5 * (data.angle[i]! - data.angle[j]!) ** 2;
        this.sizeSquare[q] = -0.5 * (data.size[i]! - data.size[j]!) ** 2;
      }
    }
  }

  /** Fill and factor; false when the matrix is not positive definite. */
  factor(hyper: LogHyper): boolean {
    const k = kernelConstants(hyper);
    const n = this.count;
    const noise = this.data.noise;
    this.exponentials(k);
    let q = 0;
    for (let i = 0; i < n; i++) {
      const row = i * n;
      for (let j = 0; j <= i; j++, q++) {
        this.matrix[row + j] =
          k.similarity * this.similarity[q]! + k.correction * this.correction[q]! + CONSTANT_VARIANCE;
      }
      this.matrix[row + i]! += k.noise * noise[i]! ** 2 + JITTER;
    }
    return factorCholesky(this.matrix, n);
  }

  private exponentials(k: KernelConstants): void {
    const { angleSquare, sizeSquare, similarity, correction } = this;
    if (k.similarityAngle !== this.similarityAngle) {
      this.similarityAngle = k.similarityAngle;
      for (let q = 0; q < similarity.length; q++) similarity[q] = Math.exp(angleSquare[q]! * k.similarityAngle);
    }
    if (k.correctionAngle !== this.correctionAngle || k.correctionSize !== this.correctionSize) {
      this.correctionAngle = k.correctionAngle;
      this.correctionSize = k.correctionSize;
      for (let q = 0; q < correction.length; q++)
        correction[q] = Math.exp(angleSquare[q]! * k.correctionAngle + sizeSquare[q]! * k.correctionSize);
    }
  }

  /** Negative log of the posterior of the hyper-parameters, up to a constant. */
  cost(hyper: LogHyper, prior: HyperPrior): number {
    if (!this.factor(hyper)) return Number.POSITIVE_INFINITY;
    const n = this.count;
    forwardSubstitute(this.matrix, n, this.data.value, this.scratch);
    let cost = 0.5 * logDeterminant(this.matrix, n);
    for (let i = 0; i < n; i++) cost += 0.5 * this.scratch[i]! ** 2;
    for (let k = 0; k < 6; k++) cost += 0.5 * ((hyper[k]! - prior.mean[k]!) / prior.spread[k]!) ** 2;
    return cost;
  }
}

export interface KernelConstants {
  similarity: number;
  similarityAngle: number;
  correction: number;
  correctionAngle: number;
  correctionSize: number;
  noise: number;
}

/** Variances, and inverse squared lengths (to be multiplied by -d^2/2). */
export function kernelConstants(hyper: LogHyper): KernelConstants {
  return {
    similarity: Math.exp(2 * hyper[0]),
    similarityAngle: Math.exp(-2 * hyper[1]),
    correction: Math.exp(2 * hyper[2]),
    correctionAngle: Math.exp(-2 * hyper[3]),
    correctionSize: Math.exp(-2 * hyper[4]),
    noise: Math.exp(2 * hyper[5]),
  };
}

function pick(data: ProcessData, indices: readonly number[]): ProcessData {
  const take = (from: Float64Array) => Float64Array.from(indices, (i) => from[i]!);
  return { angle: take(data.angle), size: take(data.size), value: take(data.value), noise: take(data.noise) };
}

/** A spread-out choice of points: steps of the golden ratio within equal bins, so that no line and no part of a line is left out. */
export function spreadIndices(count: number, wanted: number): number[] {
  if (count <= wanted) return Array.from({ length: count }, (_, i) => i);
  const bin = count / wanted;
  return Array.from({ length: wanted }, (_, i) =>
    Math.min(count - 1, Math.floor(i * bin + ((i * 0.618034) % 1) * (bin - 1))),
  );
}

/**
 * Most probable hyper-parameters: a few passes of Newton steps on each logarithm with slopes and curvatures from two-sided
 * differences, the first ones on some of the points, the last on (nearly) all. It always ends (a fixed number of evaluations); no pass
 * leaves its start for something worse.
 */
function searchHyper(data: ProcessData, prior: HyperPrior): LogHyper {
  let best = prior.mean;
  let delta = FIRST_STEP;
  let covariance: Covariance | null = null;
  let points = 0;
  for (const most of PASS_POINTS) {
    const chosen = data.angle.length > 1.2 * most ? pick(data, spreadIndices(data.angle.length, most)) : data;
    if (covariance === null || chosen.angle.length !== points) covariance = new Covariance(chosen);
    points = chosen.angle.length;
    best = improved(covariance, prior, best, delta);
    delta *= STEP_SHRINK;
  }
  return best;
}

function improved(covariance: Covariance, prior: HyperPrior, start: LogHyper, delta: number): LogHyper {
  const startCost = covariance.cost(start, prior);
  let best = start;
  let bestCost = startCost;
  const consider = (candidate: LogHyper): number => {
    const cost = covariance.cost(candidate, prior);
    if (cost < bestCost) {
      bestCost = cost;
      best = candidate;
    }
    return cost;
  };
  const steps = start.map((value, k) => {
    const above = consider(start.with(k, value + delta) as unknown as LogHyper);
    const below = consider(start.with(k, value - delta) as unknown as LogHyper);
    const slope = (above - below) / (2 * delta);
    const curvature = (above - 2 * startCost + below) / delta ** 2;
    const step = curvature > 1e-6 ? -slope / curvature : -Math.sign(slope) * 2 * delta;
    return Number.isFinite(step) ? Math.max(-2.5 * delta, Math.min(2.5 * delta, step)) : 0;
  });
  for (const share of [1, 0.5]) {
    consider(start.map((value, k) => value + share * steps[k]!) as unknown as LogHyper);
  }
  return best;
}

/**
 * Fit the process.
 * @param tolerance residual that no point should exceed, unless the points themselves show more scatter than that; points beyond it
 *   are given more weight in a few refits (the surface must pass through what was entered). Infinity: may be smoothed freely.
 * @returns null when the covariance cannot be factored (not-finite data).
 */
export function fitProcess(data: ProcessData, prior: HyperPrior, tolerance: Float64Array): ProcessFit | null {
  const n = data.angle.length;
  const hyper = searchHyper(data, prior);
  const noiseFactor = kernelConstants(hyper).noise;
  const noise = Float64Array.from(data.noise);
  const weights = new Float64Array(n);
  const residual = new Float64Array(n);
  for (let refit = 0; ; refit++) {
    const covariance = new Covariance({ ...data, noise });
    if (!covariance.factor(hyper)) return null;
    forwardSubstitute(covariance.matrix, n, data.value, weights);
    backSubstitute(covariance.matrix, n, weights, weights);
    let beyond = false;
    for (let i = 0; i < n; i++) {
      residual[i] = -(noiseFactor * noise[i]! ** 2 + JITTER) * weights[i]!;
      const size = Math.abs(residual[i]!);
      const allowed = Math.max(tolerance[i]!, SCATTER_ALLOWED * Math.sqrt(noiseFactor) * data.noise[i]!);
      if (size > allowed) {
        beyond = true;
        noise[i]! *= Math.max(0.1, (0.8 * allowed) / size);
      }
    }
    if (!beyond || refit === 5) return { hyper, data, weights, residual };
  }
}
