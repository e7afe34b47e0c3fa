import {
  CONSTANT_VARIANCE,
  fitProcess,
  type HyperPrior,
  kernelConstants,
  type LogHyper,
  type ProcessFit,
  ROUNDING_DEVIATION,
} from './gaussian-process.ts';
import type { Alignment, PolarPoint, RelativeStep } from './speed-field.ts';

export interface EfficiencyReading {
  polar: PolarPoint;
  step: RelativeStep;
  efficiency: number;
  /** Read off an island: its place is less certain than a printed point. */
  fromIsland: boolean;
}

const EFFICIENCY_PRIOR: HyperPrior = {
  mean: [0.25, 0.3, 0.13, 0.25, 0.5, 1].map(Math.log) as unknown as LogHyper,
  spread: [1.2, 0.7, 1.2, 0.7, 0.8, 0.7],
};
const LEAST_NOISE = 2e-4;
const ISLAND_NOISE = 1e-3;
/** Efficiency passes through entered values within this, or within the sheet's own rounding where that is coarser. */
const PASS_TOLERANCE = 0.005;
/** Typical change of efficiency over the whole quarter circle of angle, for turning a reading error in place into one in value. */
const TYPICAL_SLOPE = 1.2;
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

  private constructor(table: HermiteTable, alignment: Alignment, mean: number, hull: readonly PolarPoint[]) {
    this.table = table;
    this.alignment = alignment;
    this.mean = mean;
    this.hull = hull;
  }

  /** @returns null when there is too little to fit. */
  static fit(
    readings: readonly EfficiencyReading[],
    efficiencyStep: number,
    alignment: Alignment,
    box: TableBox,
  ): EfficiencyField | null {
    if (readings.length < LEAST_READINGS) return null;
    const mean = readings.reduce((sum, r) => sum + r.efficiency, 0) / readings.length;
    const noise = new Float64Array(readings.length);
    const tolerance = new Float64Array(readings.length);
    readings.forEach(({ polar, step, fromIsland }, i) => {
      const across = Math.sin(Math.PI * polar.angle) / Math.PI;
      const place = TYPICAL_SLOPE * across * Math.hypot(step.flow, step.rootHead);
      noise[i] = Math.hypot(
        (fromIsland ? 0 : efficiencyStep) * ROUNDING_DEVIATION,
        place * ROUNDING_DEVIATION,
        fromIsland ? ISLAND_NOISE : LEAST_NOISE,
      );
      tolerance[i] = Math.max(PASS_TOLERANCE, 0.5 * (efficiencyStep + place));
    });
    const fit = fitProcess(
      {
        angle: Float64Array.from(readings, ({ polar }) => alignment.along(polar.angle, polar.size)),
        size: Float64Array.from(readings, (r) => r.polar.size),
        value: Float64Array.from(readings, (r) => r.efficiency - mean),
        noise,
      },
      EFFICIENCY_PRIOR,
      tolerance,
    );
    if (!fit) return null;
    const table = new HermiteTable(fit, box);
    return new EfficiencyField(table, alignment, mean, convexHull(readings.map((r) => r.polar)));
  }

  /** 0..1; null where the extension is past belief. */
  at(point: PolarPoint): number | null {
    const value = this.mean + this.table.read(this.alignment.along(point.angle, point.size), point.size);
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

/** Over how much of the floor size the dependence on size fades out below it. */
const FADE_SHARE = 0.07;

/** What the tables of a map cover. */
export interface TableBox {
  angleFrom: number;
  angleTo: number;
  sizeTo: number;
  /** Size of the lowest line: below it only similarity speaks. */
  sizeFloor: number;
}

/**
 * A fitted process tabulated with its exact derivatives on a regular grid and read back by bicubic Hermite interpolation: a query
 * costs some forty multiplications instead of a hundred exponentials, and is smooth (continuous first derivatives).
 * With the grid steps used the interpolation differs from the process by less than 1e-6.
 */
export class HermiteTable {
  readonly angleFrom: number;
  readonly angleTo: number;
  readonly sizeTo: number;
  private readonly sizeFloor: number;
  private readonly angleStep: number;
  private readonly sizeStep: number;
  private readonly columns: number;
  /** value, d/dangle * step, d/dsize * step, d2 * both steps, for each node. */
  private readonly nodes: Float64Array;

  constructor(fit: ProcessFit, box: TableBox, rows = 36, columns = 30) {
    const { angleFrom, angleTo, sizeTo } = box;
    this.angleFrom = angleFrom;
    this.angleTo = angleTo;
    this.sizeTo = sizeTo;
    this.sizeFloor = box.sizeFloor;
    this.columns = columns;
    this.angleStep = (angleTo - angleFrom) / (rows - 1);
    this.sizeStep = sizeTo / (columns - 1);
    this.nodes = new Float64Array(rows * columns * 4);
    this.fill(fit, rows);
  }

  /** The covariance is a product of one factor in angle and one in size, so the grid is two small matrix products. */
  private fill(fit: ProcessFit, rows: number): void {
    const { angle, size } = fit.data;
    const n = angle.length;
    const k = kernelConstants(fit.hyper);
    const columns = this.columns;
    const sizeValue = new Float64Array(columns * n);
    const sizeSlope = new Float64Array(columns * n);
    for (let c = 0; c < columns; c++) {
      for (let i = 0; i < n; i++) {
        const d = c * this.sizeStep - size[i]!;
        const e = Math.exp(-0.5 * d * d * k.correctionSize);
        sizeValue[c * n + i] = e;
        sizeSlope[c * n + i] = -d * k.correctionSize * e * this.sizeStep;
      }
    }
    const value = new Float64Array(n);
    const slope = new Float64Array(n);
    for (let r = 0; r < rows; r++) {
      let alone = 0;
      let aloneSlope = 0;
      for (let i = 0; i < n; i++) {
        const w = fit.weights[i]!;
        const d = this.angleFrom + r * this.angleStep - angle[i]!;
        const similarity = w * k.similarity * Math.exp(-0.5 * d * d * k.similarityAngle);
        alone += similarity + w * CONSTANT_VARIANCE;
        aloneSlope -= d * k.similarityAngle * similarity * this.angleStep;
        const correction = w * k.correction * Math.exp(-0.5 * d * d * k.correctionAngle);
        value[i] = correction;
        slope[i] = -d * k.correctionAngle * correction * this.angleStep;
      }
      for (let c = 0; c < columns; c++) {
        let f = alone;
        let fa = aloneSlope;
        let fs = 0;
        let fas = 0;
        const at = c * n;
        for (let i = 0; i < n; i++) {
          const v = value[i]!;
          const s = slope[i]!;
          const x = sizeValue[at + i]!;
          const y = sizeSlope[at + i]!;
          f += v * x;
          fa += s * x;
          fs += v * y;
          fas += s * y;
        }
        const node = (r * columns + c) * 4;
        this.nodes[node] = f;
        this.nodes[node + 1] = fa;
        this.nodes[node + 2] = fs;
        this.nodes[node + 3] = fas;
      }
    }
  }

  private faded(size: number): number {
    const reach = FADE_SHARE * this.sizeFloor;
    return this.sizeFloor - reach * (1 - Math.exp((size - this.sizeFloor) / reach));
  }

  holds(angle: number, size: number): boolean {
    return angle >= this.angleFrom && angle <= this.angleTo && size >= 0 && size <= this.sizeTo;
  }

  /**
   * Value at a place that the table holds. Below `sizeFloor` the dependence on size fades out within a short way: towards rest only
   * similarity is left, that is, the coefficients of the lowest line.
   */
  read(angle: number, size: number): number {
    const a = (angle - this.angleFrom) / this.angleStep;
    const s = (size < this.sizeFloor ? this.faded(size) : size) / this.sizeStep;
    const r = Math.min(Math.floor(a), this.nodes.length / (4 * this.columns) - 2);
    const c = Math.min(Math.floor(s), this.columns - 2);
    const u = a - r;
    const v = s - c;
    const u2 = u * u;
    const u3 = u2 * u;
    const v2 = v * v;
    const v3 = v2 * v;
    const hu1 = 3 * u2 - 2 * u3;
    const hu0 = 1 - hu1;
    const du0 = u3 - 2 * u2 + u;
    const du1 = u3 - u2;
    const hv1 = 3 * v2 - 2 * v3;
    const hv0 = 1 - hv1;
    const dv0 = v3 - 2 * v2 + v;
    const dv1 = v3 - v2;
    const t = this.nodes;
    const n0 = (r * this.columns + c) * 4;
    const n1 = n0 + 4;
    const m0 = n0 + 4 * this.columns;
    const m1 = m0 + 4;
    return (
      hu0 * (hv0 * t[n0]! + dv0 * t[n0 + 2]! + hv1 * t[n1]! + dv1 * t[n1 + 2]!) +
      du0 * (hv0 * t[n0 + 1]! + dv0 * t[n0 + 3]! + hv1 * t[n1 + 1]! + dv1 * t[n1 + 3]!) +
      hu1 * (hv0 * t[m0]! + dv0 * t[m0 + 2]! + hv1 * t[m1]! + dv1 * t[m1 + 2]!) +
      du1 * (hv0 * t[m0 + 1]! + dv0 * t[m0 + 3]! + hv1 * t[m1 + 1]! + dv1 * t[m1 + 3]!)
    );
  }
}
