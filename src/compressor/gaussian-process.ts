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
 * (the speed coordinate, across lines). The covariance says what similarity says: one function of the angle alone, which holds for
 * every speed, plus a smaller correction that changes slowly with speed, plus a constant. Along the angle both are of Matern's kind with
 * nu = 7/2 (three times differentiable): the smoother squared exponential swings beside the knee before choke. Across speeds nothing has a
 * knee. Reading noise is known for each point from the sheet's rounding and the surface's own slopes, so the fit neither ripples through
 * rounding steps nor smooths away what was measured.
 * Source: Rasmussen & Williams, Gaussian Processes for Machine Learning (2006), algorithm 2.1 and eqs. 4.14, 5.8-5.9; the two-part
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
  /** The least logarithm of the size length. */
  leastSizeLength: number;
}

/**
 * A prior whose size length is held to the spacing of the lines: lengths below it would let the surface do as it likes between two lines
 * (such a fit may even have the better evidence, and six times the error). The more so the fewer lines there are.
 */
export function priorForLines(prior: Omit<HyperPrior, 'leastSizeLength'>, lineRpm: readonly number[]): HyperPrior {
  const top = Math.max(...lineRpm);
  const spacing = (1 - Math.min(...lineRpm) / top) / Math.max(1, new Set(lineRpm).size - 1);
  const mean = Math.max(prior.mean[4], Math.log(3 * spacing));
  return {
    mean: prior.mean.with(4, mean) as unknown as LogHyper,
    spread: prior.spread,
    leastSizeLength: Math.log(2 * spacing),
  };
}

export interface ProcessFit {
  readonly hyper: LogHyper;
  readonly data: ProcessData;
  readonly weights: Float64Array;
}

/** What was searched for: with it and the points a process is there again, without a search. `candidate`: whose coordinates were taken. */
export interface FoundProcess {
  readonly candidate: number;
  readonly hyper: LogHyper;
  readonly weights: Float64Array;
}

/** A process found before, on the same points; null where it cannot be of these. */
export function foundAgain(
  candidates: readonly ProcessData[],
  found: FoundProcess | null,
): (ProcessFit & FoundProcess) | null {
  const data = found === null ? undefined : candidates[found.candidate];
  return found === null || data?.angle.length !== found.weights.length ? null : { ...found, data };
}

/** Slopes of the posterior mean at each point, over the process's own coordinates. */
export interface ProcessSlopes {
  readonly angle: Float64Array;
  readonly size: Float64Array;
}

/** Variance of the constant part: wide against any value that is fitted (logs of speed ratios, efficiencies). */
export const CONSTANT_VARIANCE = 1;
/** Keeps the factor positive definite when two points coincide; 3e-5 in standard deviation, below any reading. */
const JITTER = 1e-9;
/**
 * Passes of the search for the lengths (the first also chooses among candidates), and the points that each runs on at most: it costs the
 * cube. The last must see a usual sheet whole (nine lines of nine points): lengths that were found on three quarters of it miss speed between the lines by half as much again.
 */
const CHOICE_POINTS = 40;
const PASS_POINTS = [40, 90];
const FIRST_STEP = 0.5;
const STEP_SHRINK = 0.6;

class Covariance {
  private readonly data: ProcessData;
  private readonly count: number;
  private readonly angleDistance: Float64Array;
  private readonly sizeSquare: Float64Array;
  /** The two parts for each pair, kept while their lengths are the same: most steps of the search change only one of six numbers. */
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
    this.angleDistance = new Float64Array((n * (n + 1)) / 2);
    this.sizeSquare = new Float64Array((n * (n + 1)) / 2);
    this.similarity = new Float64Array((n * (n + 1)) / 2);
    this.correction = new Float64Array((n * (n + 1)) / 2);
    let q = 0;
    for (let i = 0; i < n; i++) {
      for (let j = 0; j <= i; j++, q++) {
        this.angleDistance[q] = Math.abs(data.angle[i]! - data.angle[j]!);
        this.sizeSquare[q] = -0.5 * (data.size[i]! - data.size[j]!) ** 2;
      }
    }
  }

  /** Fill and factor; false when the matrix is not positive definite. */
  factor(hyper: LogHyper): boolean {
    const k = kernelConstants(hyper);
    const n = this.count;
    const noise = this.data.noise;
    this.parts(k);
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

  private parts(k: KernelConstants): void {
    const { angleDistance, sizeSquare, similarity, correction } = this;
    if (k.similarityAngle !== this.similarityAngle) {
      this.similarityAngle = k.similarityAngle;
      for (let q = 0; q < similarity.length; q++) similarity[q] = matern(angleDistance[q]! * k.similarityAngle);
    }
    if (k.correctionAngle !== this.correctionAngle || k.correctionSize !== this.correctionSize) {
      this.correctionAngle = k.correctionAngle;
      this.correctionSize = k.correctionSize;
      for (let q = 0; q < correction.length; q++)
        correction[q] = matern(angleDistance[q]! * k.correctionAngle, sizeSquare[q]! * k.correctionSize);
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

/** Variances; inverse lengths along the angle, ready for `matern`; inverse squared length across (to be multiplied by -d^2/2). */
export function kernelConstants(hyper: LogHyper): KernelConstants {
  return {
    similarity: Math.exp(2 * hyper[0]),
    similarityAngle: Math.sqrt(7) * Math.exp(-hyper[1]),
    correction: Math.exp(2 * hyper[2]),
    correctionAngle: Math.sqrt(7) * Math.exp(-hyper[3]),
    correctionSize: Math.exp(-2 * hyper[4]),
    noise: Math.exp(2 * hyper[5]),
  };
}

/**
 * Matern's correlation of order 7/2 at distance t, in lengths times the root of 7 (Rasmussen & Williams eq. 4.16 for p = 3), times the
 * exponential of `more`.
 */
export function matern(t: number, more = 0): number {
  return (1 + t * (1 + t * (0.4 + t / 15))) * Math.exp(more - t);
}

/** d matern / dt, over t. */
export function maternSlope(t: number): number {
  return -(0.2 + t * (0.2 + t / 15)) * Math.exp(-t);
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

function thinned(data: ProcessData, most: number): ProcessData {
  return data.angle.length > 1.2 * most ? pick(data, spreadIndices(data.angle.length, most)) : data;
}

/**
 * One pass of the search for the most probable hyper-parameters: a Newton step on each logarithm with slope and curvature from two-sided
 * differences. A fixed number of evaluations; never ends at something worse than its start.
 */
function improved(
  covariance: Covariance,
  prior: HyperPrior,
  start: LogHyper,
  delta: number,
): { hyper: LogHyper; cost: number } {
  const startCost = covariance.cost(start, prior);
  let best = start;
  let bestCost = startCost;
  const consider = (free: LogHyper): number => {
    const candidate = free.with(4, Math.max(free[4], prior.leastSizeLength)) as unknown as LogHyper;
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
  return { hyper: best, cost: bestCost };
}

/**
 * Fit the process.
 * @param candidates the same points in other coordinates: the one of the best evidence is taken. At least one.
 * @param noiseOf the noise of each point of a candidate by the slopes of a first fit there; the second fit goes by it.
 * @returns null when the covariance cannot be factored (not-finite data).
 */
export function fitProcess(
  candidates: readonly ProcessData[],
  prior: HyperPrior,
  noiseOf: (candidate: number, slopes: ProcessSlopes) => Float64Array,
): (ProcessFit & FoundProcess) | null {
  let candidate = 0;
  let best = { hyper: prior.mean, cost: Number.POSITIVE_INFINITY };
  candidates.forEach((data, i) => {
    const found = improved(new Covariance(thinned(data, CHOICE_POINTS)), prior, prior.mean, FIRST_STEP);
    if (found.cost < best.cost) {
      best = found;
      candidate = i;
    }
  });
  const first = solved(candidates[candidate]!, best.hyper);
  if (!first) return null;
  const data = { ...first.data, noise: noiseOf(candidate, slopesOf(first)) };
  let { hyper } = best;
  let delta = FIRST_STEP;
  for (const most of PASS_POINTS) {
    delta *= STEP_SHRINK;
    hyper = improved(new Covariance(thinned(data, most)), prior, hyper, delta).hyper;
  }
  const fit = solved(data, hyper);
  return fit && { ...fit, candidate };
}

function solved(data: ProcessData, hyper: LogHyper): ProcessFit | null {
  const n = data.angle.length;
  const covariance = new Covariance(data);
  if (!covariance.factor(hyper)) return null;
  const weights = new Float64Array(n);
  forwardSubstitute(covariance.matrix, n, data.value, weights);
  backSubstitute(covariance.matrix, n, weights, weights);
  return { hyper, data, weights };
}

function slopesOf({ data, hyper, weights }: ProcessFit): ProcessSlopes {
  const n = weights.length;
  const k = kernelConstants(hyper);
  const angle = new Float64Array(n);
  const size = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < n; j++) {
      const a = data.angle[i]! - data.angle[j]!;
      const s = data.size[i]! - data.size[j]!;
      const t = Math.abs(a) * k.correctionAngle;
      const correction = weights[j]! * k.correction * Math.exp(-0.5 * s * s * k.correctionSize);
      const similarity = weights[j]! * k.similarity * maternSlope(Math.abs(a) * k.similarityAngle);
      angle[i]! += a * (similarity * k.similarityAngle ** 2 + correction * maternSlope(t) * k.correctionAngle ** 2);
      size[i]! -= s * k.correctionSize * correction * matern(t);
    }
  }
  return { angle, size };
}
