import { type CapacityLaw, drivingLog, EXHAUST_NOZZLE } from './laws.ts';
import type { CapacityLine, TurbineCapacity } from './types.ts';

/** A line made ready. */
export interface CapacityKnots {
  /** As entered, for drawing. */
  line: CapacityLine;
  /** In strictly rising logRatio with flows that never fall; at least one. */
  knots: readonly { logRatio: number; flowParameterM2: number }[];
  /** In strictly rising expansion ratio; may be empty. */
  efficiencies: readonly { expansionRatio: number; efficiency: number }[];
}

/** Between knots the flow goes with psi plus this times z: with psi alone, two knots beyond the law's choking had no way between them. */
const STRAIGHT_PART = 0.002;
/** Choked: within this share of the most that the line passes at any expansion. */
const CHOKED_WITHIN = 2e-4;
/** gamma / (gamma - 1) of the nozzle law. */
const CP_OVER_R = 4;

/**
 * Capacity through given points. Along a line it goes from knot to knot monotonically in the nozzle law, and beyond the end knots the law
 * goes on with the area met there. Between lines, and beyond the outermost, lines are taken at the same driving expansion z
 * (`CapacityLaw`), in which they nearly collapse, and blended by reduced speed; efficiencies at the same U/C0, likewise. Each line rises
 * with z and z with expansion, so the whole rises. Typed arrays and no allocation: a study asks some million times.
 */
export class FittedCapacity implements TurbineCapacity {
  readonly from: 'sheet' | 'estimate';
  readonly band: number;
  readonly law: CapacityLaw;
  readonly lines: readonly CapacityLine[];
  private readonly exponent: number;
  private readonly heldBack: number;
  /** A line without speed only ever stands alone and counts as 0. */
  private readonly speeds: Float64Array;
  private readonly starts: Int32Array;
  /** z, flow, way of the interpolation, and flow over psi of each knot. */
  private readonly drives: Float64Array;
  private readonly flows: Float64Array;
  private readonly ways: Float64Array;
  private readonly areas: Float64Array;
  private readonly chokedFrom: Float64Array;
  private readonly ratedSpeeds: Float64Array;
  private readonly ratedStarts: Int32Array;
  /** Reduced speed (1 for a line without) over the spouting velocity, rising: the least expansion last. */
  private readonly speedRatios: Float64Array;
  private readonly efficiencies: Float64Array;
  private readonly pointsEntered: boolean;

  /** @param lines at least one, in strictly rising reduced speed; a line without speed only alone. */
  constructor(from: 'sheet' | 'estimate', band: number, law: CapacityLaw, lines: readonly CapacityKnots[]) {
    this.from = from;
    this.band = band;
    this.law = law;
    this.exponent = law.exponent;
    this.heldBack = law.heldBack;
    this.lines = lines.map(({ line }) => line);
    this.pointsEntered = this.lines.some(({ points }) => points.length > 0);
    this.speeds = Float64Array.from(lines, speedOf);
    this.starts = startsOf(lines.map((l) => l.knots.length));
    this.drives = Float64Array.from(
      lines.flatMap((l) => l.knots.map((k) => drivingLog(law.heldBack, k.logRatio, speedOf(l)))),
    );
    this.flows = Float64Array.from(lines.flatMap((l) => l.knots.map((k) => k.flowParameterM2)));
    const psis = this.drives.map((z) => EXHAUST_NOZZLE.atLog(law.exponent * z));
    this.ways = psis.map((psi, i) => psi + STRAIGHT_PART * this.drives[i]!);
    this.areas = psis.map((psi, i) => this.flows[i]! / psi);
    this.chokedFrom = this.speeds.map((_, i) => this.drivingChoked(i));
    const rated = lines.filter((l) => l.efficiencies.length > 0);
    this.ratedSpeeds = Float64Array.from(rated, speedOf);
    this.ratedStarts = startsOf(rated.map((l) => l.efficiencies.length));
    const points = rated.flatMap((l) => l.efficiencies.map((p) => ({ ...p, speed: speedOf(l) || 1 })).reverse());
    this.speedRatios = Float64Array.from(points, (p) => p.speed / spouting(Math.log(p.expansionRatio)));
    this.efficiencies = Float64Array.from(points, (p) => p.efficiency);
  }

  /** m2; 0 at an expansion ratio of 1 and below (flow backwards is not modelled). */
  flowParameter(expansionRatio: number, reducedSpeed: number): number {
    const x = Math.log(expansionRatio);
    if (!(x > 0)) return 0;
    const z = drivingLog(this.heldBack, x, reducedSpeed);
    const psi = EXHAUST_NOZZLE.atLog(this.exponent * z);
    const { speeds } = this;
    const above = rankOf(speeds, reducedSpeed);
    if (above === 0) return this.lineFlow(0, z, psi);
    if (above === speeds.length) return this.lineFlow(above - 1, z, psi);
    const low = this.lineFlow(above - 1, z, psi);
    const share = (reducedSpeed - speeds[above - 1]!) / (speeds[above]! - speeds[above - 1]!);
    return low + share * (this.lineFlow(above, z, psi) - low);
  }

  isExtended(expansionRatio: number, reducedSpeed: number): boolean {
    if (!this.pointsEntered) return false;
    const { speeds, starts, drives } = this;
    const last = speeds.length - 1;
    if (last > 0 && !(reducedSpeed >= speeds[0]! && reducedSpeed <= speeds[last]!)) return true;
    const above = Math.min(last, rankOf(speeds, reducedSpeed));
    const below = Math.max(0, above - 1);
    const share = above === below ? 0 : (reducedSpeed - speeds[below]!) / (speeds[above]! - speeds[below]!);
    const between = (a: number, b: number) => a + share * (b - a);
    const z = drivingLog(this.heldBack, Math.log(expansionRatio), reducedSpeed);
    const slack = 1e-9;
    return !(
      z >= between(drives[starts[below]!]!, drives[starts[above]!]!) - slack &&
      z <= between(drives[starts[below + 1]! - 1]!, drives[starts[above + 1]! - 1]!) + slack
    );
  }

  /** Within 0.02 % of the most that is passed at this speed. */
  isChoked(expansionRatio: number, reducedSpeed: number): boolean {
    const x = Math.log(expansionRatio);
    const z = x > 0 ? drivingLog(this.heldBack, x, reducedSpeed) : 0;
    const above = rankOf(this.speeds, reducedSpeed);
    const from = this.chokedFrom;
    if (above === 0) return z >= from[0]!;
    if (above === from.length) return z >= from[above - 1]!;
    return z >= Math.max(from[above - 1]!, from[above]!);
  }

  efficiency(expansionRatio: number, reducedSpeed: number): number | null {
    const speeds = this.ratedSpeeds;
    if (speeds.length === 0) return null;
    const x = Math.log(expansionRatio);
    const speed = speeds[0] === 0 ? 1 : reducedSpeed;
    const speedRatio = x > 0 ? speed / spouting(x) : Number.POSITIVE_INFINITY;
    const above = rankOf(speeds, reducedSpeed);
    if (above === 0) return this.lineEfficiency(0, speedRatio);
    if (above === speeds.length) return this.lineEfficiency(above - 1, speedRatio);
    const low = this.lineEfficiency(above - 1, speedRatio);
    const share = (reducedSpeed - speeds[above - 1]!) / (speeds[above]! - speeds[above - 1]!);
    return low + share * (this.lineEfficiency(above, speedRatio) - low);
  }

  private lineFlow(line: number, z: number, psi: number): number {
    const { drives, flows, ways, areas } = this;
    const first = this.starts[line]!;
    const last = this.starts[line + 1]! - 1;
    if (z <= drives[first]!) return psi * areas[first]!;
    if (z >= drives[last]!) return psi * areas[last]!;
    let k = first + 1;
    while (drives[k]! < z) k++;
    const low = flows[k - 1]!;
    const way = psi + STRAIGHT_PART * z - ways[k - 1]!;
    return low + ((flows[k]! - low) * way) / (ways[k]! - ways[k - 1]!);
  }

  /** Linear in U/C0, held beyond the points. */
  private lineEfficiency(line: number, speedRatio: number): number {
    const ratios = this.speedRatios;
    const values = this.efficiencies;
    const first = this.ratedStarts[line]!;
    const last = this.ratedStarts[line + 1]! - 1;
    if (!(speedRatio > ratios[first]!)) return values[first]!;
    if (speedRatio >= ratios[last]!) return values[last]!;
    let k = first + 1;
    while (ratios[k]! < speedRatio) k++;
    const share = (speedRatio - ratios[k - 1]!) / (ratios[k]! - ratios[k - 1]!);
    return values[k - 1]! + share * (values[k]! - values[k - 1]!);
  }

  /** z from which a line is choked, by halving: the line rises, so there is one such place. */
  private drivingChoked(line: number): number {
    const flow = (z: number) => this.lineFlow(line, z, EXHAUST_NOZZLE.atLog(this.exponent * z));
    let low = 0;
    let high = Math.max(EXHAUST_NOZZLE.logCritical / this.exponent, this.drives[this.starts[line + 1]! - 1]!);
    const enough = flow(high) * (1 - CHOKED_WITHIN);
    while (high - low > 1e-9) {
      const middle = (low + high) / 2;
      if (flow(middle) >= enough) high = middle;
      else low = middle;
    }
    return high;
  }
}

const speedOf = ({ line }: CapacityKnots): number => line.reducedSpeed ?? 0;

/** Spouting velocity C0 / sqrt(R T03) of the nozzle law's gas; any gas serves, since points and answers use the same. */
function spouting(logRatio: number): number {
  return Math.sqrt(-2 * CP_OVER_R * Math.expm1(-logRatio / CP_OVER_R));
}

/** How many of the rising values are not above x; 0 for one that is not a number. */
function rankOf(rising: Float64Array, x: number): number {
  let rank = 0;
  while (rank < rising.length && rising[rank]! <= x) rank++;
  return rank;
}

function startsOf(counts: readonly number[]): Int32Array {
  const starts = new Int32Array(counts.length + 1);
  counts.forEach((count, i) => {
    starts[i + 1] = starts[i]! + count;
  });
  return starts;
}
