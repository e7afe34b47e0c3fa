import {
  type FoundProcess,
  fitProcess,
  foundAgain,
  type LogHyper,
  priorForLines,
  ROUNDING_DEVIATION,
} from './gaussian-process.ts';
import { HermiteTable, type TableBox, tableAngles } from './hermite-table.ts';
import { type Alignment, type PlaceError, type PlaceSlopes, type PolarPoint, varianceOf } from './similarity.ts';

export interface EfficiencyReading {
  polar: PolarPoint;
  error: PlaceError;
  efficiency: number;
  /** Read off an island: its place is less certain than a printed point. */
  fromIsland: boolean;
}

const EFFICIENCY_PRIOR = {
  mean: [0.25, 0.3, 0.13, 0.25, 0.5, 1].map(Math.log) as unknown as LogHyper,
  spread: [1.2, 0.7, 1.2, 0.7, 0.8, 0.7] as LogHyper,
};
const LEAST_NOISE = 2e-4;
const ISLAND_NOISE = 1e-3;
/** Typical change of efficiency over the whole quarter circle of angle, for turning a reading error in place into one in value. */
const TYPICAL_SLOPE = 1.2;
/** No more change of efficiency than this is taken for a unit of ln flow or ln root head: a steep end would count for nothing. */
const MOST_SLOPE = 0.5;
/** Fewer readings than this say too little for a field. */
const LEAST_READINGS = 6;
/** Outside these the extension has left what a compressor does; unknown is the honest answer. */
const BELIEVABLE = { low: 0.05, high: 0.95 };

/** Efficiency over the similarity coordinates. */
export class EfficiencyField {
  private readonly table: HermiteTable;
  private readonly alignment: Alignment;
  private readonly mean: number;
  private readonly hull: readonly PolarPoint[];
  readonly found: FoundProcess;

  private constructor(
    table: HermiteTable,
    alignment: Alignment,
    mean: number,
    hull: readonly PolarPoint[],
    found: FoundProcess,
  ) {
    this.table = table;
    this.alignment = alignment;
    this.mean = mean;
    this.hull = hull;
    this.found = found;
  }

  /**
   * @param lineRpm speeds of the sheet's lines.
   * @param box what the speed's tables cover.
   * @param before what a fit of the same readings found; null: there was none.
   * @returns null when there is too little to fit.
   */
  static fit(
    readings: readonly EfficiencyReading[],
    efficiencyStep: number,
    alignments: readonly Alignment[],
    lineRpm: readonly number[],
    box: TableBox,
    before: FoundProcess | null,
  ): EfficiencyField | null {
    if (readings.length < LEAST_READINGS) return null;
    const mean = readings.reduce((sum, r) => sum + r.efficiency, 0) / readings.length;
    const noiseAt = ({ error, fromIsland }: EfficiencyReading, slopes: PlaceSlopes) =>
      Math.sqrt(
        (fromIsland ? ISLAND_NOISE : Math.hypot(efficiencyStep * ROUNDING_DEVIATION, LEAST_NOISE)) ** 2 +
          varianceOf(slopes, error),
      );
    const typical = ({ polar }: EfficiencyReading): PlaceSlopes => {
      const across = (TYPICAL_SLOPE * Math.sin(Math.PI * polar.angle)) / Math.PI;
      return { flow: -across, rootHead: across };
    };
    const most = (slope: number) => Math.max(-MOST_SLOPE, Math.min(MOST_SLOPE, slope));
    const size = Float64Array.from(readings, (r) => r.polar.size);
    const candidates = alignments.map((alignment) => ({
      angle: Float64Array.from(readings, ({ polar }) => alignment.along(polar.angle, polar.size)),
      size,
      value: Float64Array.from(readings, (r) => r.efficiency - mean),
      noise: Float64Array.from(readings, (r) => noiseAt(r, typical(r))),
    }));
    const search = () =>
      fitProcess(candidates, priorForLines(EFFICIENCY_PRIOR, lineRpm), (candidate, slopes) =>
        Float64Array.from(readings, (reading, i) => {
          const own = alignments[candidate]!.slopesAt(reading.polar, slopes.angle[i]!, slopes.size[i]!);
          return noiseAt(reading, { flow: most(own.flow), rootHead: most(own.rootHead) });
        }),
      );
    const fit = foundAgain(candidates, before) ?? search();
    if (!fit) return null;
    const table = new HermiteTable(fit, { ...box, ...tableAngles(fit.data.angle) });
    const hull = convexHull(readings.map((r) => r.polar));
    return new EfficiencyField(table, alignments[fit.candidate]!, mean, hull, fit);
  }

  /** 0..1; null where the extension is past belief. */
  at(point: PolarPoint): number | null {
    const value =
      this.mean + this.table.read(this.table.within(this.alignment.along(point.angle, point.size)), point.size);
    return value > BELIEVABLE.low && value < BELIEVABLE.high ? value : null;
  }

  /** Whether a place lies among the readings (with a little room for their scatter). */
  covers(point: PolarPoint): boolean {
    const hull = this.hull;
    const room = 0.015;
    for (let i = 0; i < hull.length; i++) {
      const a = hull[i]!;
      const b = hull[(i + 1) % hull.length]!;
      const length = Math.hypot(b.angle - a.angle, b.size - a.size);
      const cross = (b.angle - a.angle) * (point.size - a.size) - (b.size - a.size) * (point.angle - a.angle);
      if (cross < -room * length) return false;
    }
    return true;
  }
}

/** Andrew's monotone chain, counter-clockwise. */
function convexHull(points: readonly PolarPoint[]): PolarPoint[] {
  const sorted = [...points].sort((a, b) => a.angle - b.angle || a.size - b.size);
  const half = (order: readonly PolarPoint[]): PolarPoint[] => {
    const chain: PolarPoint[] = [];
    for (const p of order) {
      while (chain.length >= 2) {
        const a = chain[chain.length - 2]!;
        const b = chain[chain.length - 1]!;
        if ((b.angle - a.angle) * (p.size - a.size) - (b.size - a.size) * (p.angle - a.angle) > 0) break;
        chain.pop();
      }
      chain.push(p);
    }
    return chain.slice(0, -1);
  };
  return [...half(sorted), ...half(sorted.reverse())];
}
