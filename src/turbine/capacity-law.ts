import { EXHAUST_NOZZLE } from './nozzle.ts';

/** Flow parameter = area times psi(ER^exponent): a nozzle that sees only a part of the expansion, so it chokes later than one alone. */
export interface CapacityLaw {
  areaM2: number;
  exponent: number;
}

/** A line's points as the law sees them. */
export interface LawPoint {
  logRatio: number;
  flowParameterM2: number;
}

/** With one restriction the exponent is 1; with stator and rotor sharing the expansion about half and half, near 0.5. */
export const LEAST_EXPONENT = 0.4;
const MOST_EXPONENT = 1;
/** Where the points tell nothing of the exponent: stator and rotor share the expansion a little unevenly (common practice, no source). */
export const USUAL_EXPONENT = 0.6;

/** Points are read to about 1 % (common practice, no source); residuals beyond twice that weigh less and less (Huber). */
const READING = 0.01;
const HUBER = 2 * READING;
/** How far the exponents of turbines stray from the usual one: weighs little against a line of several points. */
const EXPONENT_STRAY = 0.25;
const GRID = 60;
const WEIGHINGS = 4;

/**
 * Area and exponent by robust least squares in ln flow. Each line has an area of its own while the exponent is sought, since area falls with
 * speed and speed rises with expansion: pooled, the one would be taken for the other. Only where no line has two points are they pooled.
 * @param lines at least one point in all
 */
export function fitLaw(lines: readonly (readonly LawPoint[])[]): CapacityLaw {
  const groups = lines.some((line) => line.length > 1) ? lines.filter((line) => line.length > 1) : [lines.flat()];
  const cost = (exponent: number): number => {
    const stray = (exponent - USUAL_EXPONENT) / EXPONENT_STRAY;
    return groups.reduce((sum, group) => sum + misfit(group, exponent).cost, stray * stray);
  };
  const exponent = lowest(cost, LEAST_EXPONENT, MOST_EXPONENT);
  return { areaM2: Math.exp(misfit(lines.flat(), exponent).logArea), exponent };
}

/** Robust mean of ln(flow / psi), and the sum of Huber's loss about it in units of the reading. */
function misfit(points: readonly LawPoint[], exponent: number): { logArea: number; cost: number } {
  const logs = points.map((p) => Math.log(p.flowParameterM2 / EXHAUST_NOZZLE.atLog(exponent * p.logRatio)));
  let logArea = [...logs].sort((a, b) => a - b)[logs.length >> 1]!;
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

/** Least value on a grid, refined by thirds: the cost may have two valleys, so the grid comes first. */
function lowest(cost: (x: number) => number, from: number, to: number): number {
  const step = (to - from) / GRID;
  let best = from;
  let least = cost(from);
  for (let i = 1; i <= GRID; i++) {
    const value = cost(from + i * step);
    if (value < least) {
      least = value;
      best = from + i * step;
    }
  }
  let low = Math.max(from, best - step);
  let high = Math.min(to, best + step);
  while (high - low > 1e-6) {
    const third = (high - low) / 3;
    if (cost(low + third) < cost(high - third)) high -= third;
    else low += third;
  }
  return (low + high) / 2;
}
