import { type CapacityLaw, drivingLog } from './capacity-law.ts';
import { EXHAUST_NOZZLE } from './nozzle.ts';

/** A point as the law sees it. */
export interface LawPoint {
  logRatio: number;
  /** null: not known. */
  reducedSpeed: number | null;
  flowParameterM2: number;
}

const LEAST_EXPONENT = 0.4;
const MOST_EXPONENT = 1;
/** Where points tell nothing of it: stator and rotor share the expansion a little unevenly (common practice, no source). */
const USUAL_EXPONENT = 0.6;
/** How far turbines stray from the usual: weighs little against a few points. */
const EXPONENT_STRAY = 0.25;
/**
 * What the rotation holds back of ln ER, at the middle of a sheet: (U2^2 - U3^2) / (2 R T03) over C0^2 / (2 R T03) at U/C0 near 0.6 and
 * U3 near two thirds of U2.
 */
const USUAL_HELD = 0.2;
const HELD_STRAY = 0.2;
const MOST_HELD = 0.8;

/** Points are read to about 1 % (common practice, no source); residuals beyond twice that weigh less and less (Huber). */
const READING = 0.01;
const HUBER = 2 * READING;
const GRID = 10;
const FINEST = 1 / 2048;
const WEIGHINGS = 4;

/**
 * The nozzle law by robust least squares in ln flow over all points. What the rotation holds back is sought only where points lie at two
 * speeds or more; with one, it cannot be told from the exponent.
 * @param points at least one, each with logRatio and flow above 0
 */
export function fitLaw(points: readonly LawPoint[]): CapacityLaw {
  const speeds = new Set(points.map((p) => p.reducedSpeed));
  const known = speeds.size > 1 && !speeds.has(null);
  // Per unit of the share: heldBack s^2 = share x at the middle point.
  const unit = known ? median(points.map((p) => p.logRatio / p.reducedSpeed! ** 2)) : 0;
  const cost = (exponent: number, held: number): number => {
    const stray = (exponent - USUAL_EXPONENT) / EXPONENT_STRAY;
    const heldStray = known ? (held - USUAL_HELD) / HELD_STRAY : 0;
    return misfit(points, exponent, held * unit).cost + stray * stray + heldStray * heldStray;
  };
  const [exponent, held] = lowest(cost, known);
  const { logArea } = misfit(points, exponent, held * unit);
  return { areaM2: Math.exp(logArea), exponent, heldBack: held * unit };
}

/** Robust mean of ln(flow / psi), and the sum of Huber's loss about it in units of the reading. */
function misfit(points: readonly LawPoint[], exponent: number, heldBack: number): { logArea: number; cost: number } {
  const logs = points.map((p) => {
    const driving = drivingLog(heldBack, p.logRatio, p.reducedSpeed ?? 0);
    return Math.log(p.flowParameterM2 / EXHAUST_NOZZLE.atLog(exponent * driving));
  });
  let logArea = median(logs);
  for (let round = 0; round < WEIGHINGS; round++) {
    let weights = 0;
    let sum = 0;
    for (const value of logs) {
      const weight = Math.min(1, HUBER / Math.max(Math.abs(value - logArea), 1e-12));
      weights += weight;
      sum += weight * value;
    }
    logArea = sum / weights;
  }
  const loss = (r: number) => (r <= HUBER ? r * r : HUBER * (2 * r - HUBER));
  const cost = logs.reduce((sum, value) => sum + loss(Math.abs(value - logArea)), 0) / (READING * READING);
  return { logArea, cost };
}

/** Exponent and held share of least cost: on a grid first, for the cost may have two valleys, then by steps that are halved. */
function lowest(cost: (exponent: number, held: number) => number, heldKnown: boolean): [number, number] {
  let best: [number, number] = [USUAL_EXPONENT, 0];
  let least = cost(...best);
  const attempt = (exponent: number, held: number): boolean => {
    const inside = exponent >= LEAST_EXPONENT && exponent <= MOST_EXPONENT && held >= 0 && held <= MOST_HELD;
    const value = inside ? cost(exponent, held) : Number.POSITIVE_INFINITY;
    if (!(value < least)) return false;
    least = value;
    best = [exponent, held];
    return true;
  };
  const width = MOST_EXPONENT - LEAST_EXPONENT;
  for (let i = 0; i <= GRID; i++) {
    for (let j = 0; j <= (heldKnown ? GRID : 0); j++) {
      attempt(LEAST_EXPONENT + (i * width) / GRID, (j * MOST_HELD) / GRID);
    }
  }
  for (let step = 1 / GRID; step > FINEST; ) {
    const [exponent, held] = best;
    const moves = heldKnown ? DIAGONAL : STRAIGHT;
    if (!moves.some(([a, b]) => attempt(exponent + a * step * width, held + b * step * MOST_HELD))) step /= 2;
  }
  return best;
}

const STRAIGHT = [
  [1, 0],
  [-1, 0],
] as const;
/** Along the valley of the cost as well, in which more held back goes with a larger exponent. */
const DIAGONAL = [...STRAIGHT, [0, 1], [0, -1], [1, 1], [-1, -1]] as const;

function median(values: readonly number[]): number {
  return [...values].sort((a, b) => a - b)[values.length >> 1]!;
}
