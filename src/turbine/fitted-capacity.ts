import type { CapacityLaw } from './capacity-law.ts';
import { EXHAUST_NOZZLE } from './nozzle.ts';
import type { CapacityLine, TurbineCapacity } from './types.ts';

/** A line made ready: knots in strictly rising logRatio with flows that never fall. */
export interface CapacityKnots {
  /** As entered, for drawing. */
  line: CapacityLine;
  knots: readonly { logRatio: number; flowParameterM2: number }[];
  /** In strictly rising expansion ratio; may be empty. */
  efficiencies: readonly { expansionRatio: number; efficiency: number }[];
}

/**
 * Between knots the flow goes with psi plus this times ln ER: with psi alone two knots beyond the law's choking would have no way from one
 * to the other.
 */
const STRAIGHT_PART = 0.02;
/** Choked: within this share of the most that the line swallows at any expansion. */
const CHOKED_WITHIN = 2e-4;

/**
 * Capacity through given points. Along a line it goes from knot to knot monotonically in the nozzle law, and beyond the end knots the
 * law goes on with the area met there; between lines it is linear in reduced speed, beyond them held. Each line rises, so the whole
 * does. Typed arrays and no allocation: the match asks for it some million times in a study.
 */
export class FittedCapacity implements TurbineCapacity {
  readonly from: 'sheet' | 'estimate';
  readonly band: number;
  readonly law: CapacityLaw;
  readonly lines: readonly CapacityLine[];
  private readonly exponent: number;
  /** null speeds only ever stand alone; they count as 0. */
  private readonly speeds: Float64Array;
  private readonly starts: Int32Array;
  private readonly logs: Float64Array;
  private readonly flows: Float64Array;
  private readonly ways: Float64Array;
  /** Flow over psi at each knot: the area that the law goes on with beyond the end knots. */
  private readonly areas: Float64Array;
  private readonly chokedFrom: Float64Array;
  private readonly efficiencySpeeds: Float64Array;
  private readonly efficiencyStarts: Int32Array;
  private readonly efficiencyRatios: Float64Array;
  private readonly efficiencies: Float64Array;
  private readonly pointsEntered: boolean;

  /** @param lines at least one, each with at least one knot, in strictly rising reduced speed; a line without speed only alone. */
  constructor(from: 'sheet' | 'estimate', band: number, law: CapacityLaw, lines: readonly CapacityKnots[]) {
    this.from = from;
    this.band = band;
    this.law = law;
    this.lines = lines.map(({ line }) => line);
    this.pointsEntered = this.lines.some(({ points }) => points.length > 0);
    this.exponent = law.exponent;
    const knots = lines.flatMap((l) => l.knots);
    this.speeds = Float64Array.from(lines, ({ line }) => line.reducedSpeed ?? 0);
    this.starts = startsOf(lines.map((l) => l.knots.length));
    this.logs = Float64Array.from(knots, (k) => k.logRatio);
    this.flows = Float64Array.from(knots, (k) => k.flowParameterM2);
    const psis = knots.map((k) => EXHAUST_NOZZLE.atLog(this.exponent * k.logRatio));
    this.ways = Float64Array.from(psis, (psi, i) => psi + STRAIGHT_PART * this.logs[i]!);
    this.areas = Float64Array.from(psis, (psi, i) => this.flows[i]! / psi);
    this.chokedFrom = Float64Array.from(lines, (_, i) => this.logChoked(i));
    const rated = lines.filter((l) => l.efficiencies.length > 0);
    const points = rated.flatMap((l) => l.efficiencies);
    this.efficiencySpeeds = Float64Array.from(rated, ({ line }) => line.reducedSpeed ?? 0);
    this.efficiencyStarts = startsOf(rated.map((l) => l.efficiencies.length));
    this.efficiencyRatios = Float64Array.from(points, (p) => p.expansionRatio);
    this.efficiencies = Float64Array.from(points, (p) => p.efficiency);
  }

  /** m2; 0 at an expansion ratio of 1 and below (flow backwards is not modelled). */
  flowParameter(expansionRatio: number, reducedSpeed: number): number {
    const x = Math.log(expansionRatio);
    if (!(x > 0)) return 0;
    const psi = EXHAUST_NOZZLE.atLog(this.exponent * x);
    const { speeds } = this;
    const above = rankOf(speeds, reducedSpeed);
    if (above === 0) return this.lineFlow(0, x, psi);
    if (above === speeds.length) return this.lineFlow(above - 1, x, psi);
    const low = this.lineFlow(above - 1, x, psi);
    const share = (reducedSpeed - speeds[above - 1]!) / (speeds[above]! - speeds[above - 1]!);
    return low + share * (this.lineFlow(above, x, psi) - low);
  }

  isExtended(expansionRatio: number, reducedSpeed: number): boolean {
    if (!this.pointsEntered) return false;
    const { speeds, starts, logs } = this;
    const last = speeds.length - 1;
    if (last > 0 && (reducedSpeed < speeds[0]! || reducedSpeed > speeds[last]!)) return true;
    const above = Math.min(last, Math.max(Math.min(1, last), rankOf(speeds, reducedSpeed)));
    const below = Math.max(0, above - 1);
    const share = above === below ? 0 : (reducedSpeed - speeds[below]!) / (speeds[above]! - speeds[below]!);
    const between = (a: number, b: number) => a + share * (b - a);
    const x = Math.log(expansionRatio);
    const slack = 1e-9;
    return (
      x < between(logs[starts[below]!]!, logs[starts[above]!]!) - slack ||
      x > between(logs[starts[below + 1]! - 1]!, logs[starts[above + 1]! - 1]!) + slack
    );
  }

  /** Within 0.02 % of the most that is swallowed at this speed. */
  isChoked(expansionRatio: number, reducedSpeed: number): boolean {
    const x = Math.log(expansionRatio);
    const above = rankOf(this.speeds, reducedSpeed);
    const last = this.speeds.length - 1;
    const from = this.chokedFrom;
    if (above === 0) return x >= from[0]!;
    if (above > last) return x >= from[last]!;
    return x >= Math.max(from[above - 1]!, from[above]!);
  }

  efficiency(expansionRatio: number, reducedSpeed: number): number | null {
    const speeds = this.efficiencySpeeds;
    if (speeds.length === 0) return null;
    const above = rankOf(speeds, reducedSpeed);
    if (above === 0) return this.lineEfficiency(0, expansionRatio);
    if (above === speeds.length) return this.lineEfficiency(above - 1, expansionRatio);
    const low = this.lineEfficiency(above - 1, expansionRatio);
    const share = (reducedSpeed - speeds[above - 1]!) / (speeds[above]! - speeds[above - 1]!);
    return low + share * (this.lineEfficiency(above, expansionRatio) - low);
  }

  private lineFlow(line: number, x: number, psi: number): number {
    const { logs, flows, ways, areas } = this;
    const first = this.starts[line]!;
    const last = this.starts[line + 1]! - 1;
    if (x <= logs[first]!) return psi * areas[first]!;
    if (x >= logs[last]!) return psi * areas[last]!;
    let k = first + 1;
    while (logs[k]! < x) k++;
    const low = flows[k - 1]!;
    const way = psi + STRAIGHT_PART * x - ways[k - 1]!;
    return low + ((flows[k]! - low) * way) / (ways[k]! - ways[k - 1]!);
  }

  private lineEfficiency(line: number, ratio: number): number {
    const ratios = this.efficiencyRatios;
    const values = this.efficiencies;
    const first = this.efficiencyStarts[line]!;
    const last = this.efficiencyStarts[line + 1]! - 1;
    if (!(ratio > ratios[first]!)) return values[first]!;
    if (ratio >= ratios[last]!) return values[last]!;
    let k = first + 1;
    while (ratios[k]! < ratio) k++;
    const share = (ratio - ratios[k - 1]!) / (ratios[k]! - ratios[k - 1]!);
    return values[k - 1]! + share * (values[k]! - values[k - 1]!);
  }

  /** ln ER from which a line is choked, by halving: the line rises, so there is one such place. */
  private logChoked(line: number): number {
    const flow = (x: number) => this.lineFlow(line, x, EXHAUST_NOZZLE.atLog(this.exponent * x));
    let low = 0;
    let high = Math.max(EXHAUST_NOZZLE.logCritical / this.exponent, this.logs[this.starts[line + 1]! - 1]!);
    const enough = flow(high) * (1 - CHOKED_WITHIN);
    while (high - low > 1e-9) {
      const middle = (low + high) / 2;
      if (flow(middle) >= enough) high = middle;
      else low = middle;
    }
    return high;
  }
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
