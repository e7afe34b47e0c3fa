import type { LinePoint } from './fit-surface.ts';
import {
  type FoundProcess,
  fitProcess,
  foundAgain,
  type HyperPrior,
  type LogHyper,
  type ProcessFit,
  priorForLines,
} from './gaussian-process.ts';
import { HermiteTable, type TableBox, tableAngles } from './hermite-table.ts';
import {
  type Alignment,
  angleOf,
  type PlaceError,
  type PlaceSlopes,
  type PolarPoint,
  placeSlopes,
  type SimilarityScale,
  varianceOf,
} from './similarity.ts';

/**
 * Where the search for the lengths starts, and how far it may reasonably end from there: angle lengths as a share of the quarter
 * circle, size lengths in top-line speeds, amplitudes in ln N. Set on the analytic machines and the measured map of the tests.
 */
const SPEED_PRIOR = {
  mean: [0.12, 0.5, 0.1, 0.23, 0.5, 1].map(Math.log) as unknown as LogHyper,
  spread: [1.2, 0.7, 1.2, 0.7, 0.8, 0.3] as LogHyper,
};
/** The least reading error assumed, in ln N: nobody reads a sheet better. */
const LEAST_NOISE = 2e-4;
/** No flow or head is taken to say more than this much speed for its own share: first fits can be steep where they are loose. */
const MOST_SLOPE = 4;
/** What the field itself may be off by, in ln N, when it is asked how a point was rounded. */
const FIELD_DEVIATION = 3e-4;

/** Speeds above the top line, as a share of it, up to which the field must rise along every ray. */
const EXTENSION = 1.05;

/** How far in size the tables reach beyond the entered points. */
const SIZE_REACH = 1.35;

function tableBox(angles: Float64Array, sizes: Float64Array, points: readonly LinePoint[]): TableBox {
  const lowestRpm = Math.min(...points.map((p) => p.speedRpm));
  return {
    ...tableAngles(angles),
    sizeTo: Math.max(...sizes) * SIZE_REACH,
    sizeFloor: Math.min(...sizes.filter((_, i) => points[i]!.speedRpm === lowestRpm)),
  };
}

/** Corrected speed over the similarity coordinates: ln(N / size) is the fitted quantity. */
export class SpeedField {
  private readonly table: HermiteTable;
  private readonly scale: SimilarityScale;
  private readonly alignment: Alignment;
  private readonly mean: number;
  readonly found: FoundProcess;

  private constructor(
    table: HermiteTable,
    scale: SimilarityScale,
    alignment: Alignment,
    mean: number,
    found: FoundProcess,
  ) {
    this.table = table;
    this.scale = scale;
    this.alignment = alignment;
    this.mean = mean;
    this.found = found;
  }

  /**
   * @param errors reading errors of the points' places.
   * @param before what a fit of the same points found; null: there was none.
   * @returns null when the points cannot be fitted by any single-valued field.
   */
  static fit(
    points: readonly LinePoint[],
    polar: readonly PolarPoint[],
    errors: readonly PlaceError[],
    scale: SimilarityScale,
    alignments: readonly Alignment[],
    before: FoundProcess | null,
  ): SpeedField | null {
    const logs = points.map((point, i) => Math.log(point.speedRpm / (polar[i]!.size * scale.topRpm)));
    const mean = logs.reduce((sum, value) => sum + value, 0) / logs.length;
    const most = (slope: number) => Math.min(MOST_SLOPE, Math.abs(slope)) * Math.sign(slope);
    const noiseAt = (i: number, own: PlaceSlopes) => {
      // N is of first degree in (x, y): what similarity alone says of a reading error, and what the field adds.
      const similar = placeSlopes(polar[i]!, 0, 1 / polar[i]!.size);
      const slopes = { flow: most(similar.flow + own.flow), rootHead: most(similar.rootHead + own.rootHead) };
      return Math.sqrt(varianceOf(slopes, errors[i]!) + LEAST_NOISE ** 2);
    };
    const size = Float64Array.from(polar, (p) => p.size);
    const candidates = alignments.map((alignment) => ({
      angle: Float64Array.from(polar, (p) => alignment.along(p.angle, p.size)),
      size,
      value: Float64Array.from(logs, (value) => value - mean),
      noise: Float64Array.from(polar, (_, i) => noiseAt(i, { flow: 0, rootHead: 0 })),
    }));
    const made = (fit: (ProcessFit & FoundProcess) | null): SpeedField | null => {
      if (!fit) return null;
      const table = new HermiteTable(fit, tableBox(fit.data.angle, size, points));
      const field = new SpeedField(table, scale, alignments[fit.candidate]!, mean, fit);
      return field.risesOutwards(polar, EXTENSION * scale.topRpm) ? field : null;
    };
    const again = made(foundAgain(candidates, before));
    if (again) return again;
    const prior = priorForLines(
      SPEED_PRIOR,
      points.map((p) => p.speedRpm),
    );
    // Contradictory sheets (crossing lines, a mistyped speed) can bend the field until speed no longer rises outwards. A stiffer and
    // more forgiving fit is tried then: single-valued comes first, and the audit names the contradiction.
    for (let attempt = 0; attempt < 4; attempt++) {
      const stiff: HyperPrior = {
        ...prior,
        mean: prior.mean.map((v, k) =>
          k === 4 || k === 3 ? v + 0.4 * attempt : k === 5 ? v + attempt * Math.log(3) : v,
        ) as unknown as LogHyper,
        spread: attempt === 0 ? prior.spread : [1.2, 0.3, 0.6, 0.2, 0.2, 0.7],
      };
      const field = made(
        fitProcess(candidates, stiff, (candidate, slopes) =>
          Float64Array.from(polar, (place, i) =>
            noiseAt(i, alignments[candidate]!.slopesAt(place, slopes.angle[i]!, slopes.size[i]!)),
          ),
        ),
      );
      if (field) return field;
    }
    return null;
  }

  /**
   * Where a point most probably was before its flow and pressure ratio were rounded: its speed is known exactly, so the field tells how far
   * off it stands across the speed line. Along the line the reading error stays as it was.
   * @param error reading error of the place; no move is larger than a box of these roundings.
   */
  settled(at: PolarPoint, speedRpm: number, error: PlaceError): { place: PolarPoint; error: PlaceError } {
    const STEP = 1e-4;
    const turn = (at.angle * Math.PI) / 2;
    const x = at.size * Math.cos(turn);
    const y = at.size * Math.sin(turn);
    const moved = (dx: number, dy: number): PolarPoint => {
      const u = x * (1 + dx);
      const v = y * (1 + dy);
      return { angle: angleOf(u, v), size: Math.sqrt(u * u + v * v) };
    };
    const excess = (dx: number, dy: number) => {
      const { angle, size } = moved(dx, dy);
      return Math.log(this.speedAt(angle, size) / speedRpm);
    };
    const flow = (excess(STEP, 0) - excess(-STEP, 0)) / (2 * STEP);
    const rootHead = (excess(0, STEP) - excess(0, -STEP)) / (2 * STEP);
    const variance = varianceOf({ flow, rootHead }, error) + FIELD_DEVIATION ** 2;
    const byFlow = (error.flow * flow) / variance;
    const byHead = (error.rootHead * rootHead) / variance;
    const off = excess(0, 0);
    const within = (move: number, of: number) =>
      Math.max(-1, Math.min(1, move / Math.sqrt(3 * of) || 0)) * Math.sqrt(3 * of);
    return {
      place: moved(-within(byFlow * off, error.flow), -within(byHead * off, error.rootHead)),
      error: {
        flow: error.flow * (1 - byFlow * flow),
        both: -byFlow * rootHead * error.rootHead,
        rootHead: error.rootHead * (1 - byHead * rootHead),
      },
    };
  }

  /** The part of the tables that does not hang on the alignment. */
  get box(): TableBox {
    return this.table.box;
  }

  /** Whether speed rises along every ray between the outermost entered angles, from rest to just above the top line. */
  private risesOutwards(entered: readonly PolarPoint[], toRpm: number): boolean {
    const from = Math.min(...entered.map((p) => p.angle));
    const to = Math.max(...entered.map((p) => p.angle));
    for (let a = 0; a <= 24; a++) {
      const angle = from + ((to - from) * a) / 24;
      let before = 0;
      for (let s = 1; s <= 32 && before < toRpm; s++) {
        const speed = this.speedAt(angle, (this.box.sizeTo * s) / 32);
        if (!(speed > before)) return false;
        before = speed;
      }
    }
    return true;
  }

  holds(angle: number, size: number): boolean {
    return this.table.holds(this.alignment.along(angle, size), size);
  }

  /** Angles that the tables reach. */
  get angles(): { from: number; to: number } {
    return { from: this.box.angleFrom, to: this.box.angleTo };
  }

  /** Corrected speed, rev/min, at coordinates that the field holds; beyond its angles that of the nearest. */
  speedAt(angle: number, size: number): number {
    const along = this.table.within(this.alignment.along(angle, size));
    return size * this.scale.topRpm * Math.exp(this.mean + this.table.read(along, size));
  }

  /**
   * Size at which the ray of this angle meets a speed; null beyond the table. Secant steps in the logarithms, where the relation is
   * nearly straight with slope one, safeguarded by bisection.
   */
  sizeOf(angle: number, speedRpm: number): number | null {
    const size = this.searchSize(angle, speedRpm);
    return size !== null && this.holds(angle, size) ? size : null;
  }

  private searchSize(angle: number, speedRpm: number): number | null {
    let low = 0;
    let high = this.box.sizeTo;
    if (this.speedAt(angle, high) < speedRpm) return null;
    const least = 1e-6 * high;
    let size = Math.min(high, (least * speedRpm) / this.speedAt(angle, least));
    let slope = 1;
    let lastSize = 0;
    let lastExcess = 0;
    for (let i = 0; i < 60; i++) {
      const excess = Math.log(this.speedAt(angle, size) / speedRpm);
      if (Math.abs(excess) <= 1e-12) return size;
      if (excess > 0) high = size;
      else low = size;
      if (lastSize > 0) {
        const measured = (excess - lastExcess) / Math.log(size / lastSize);
        if (measured > 0.05 && measured < 20) slope = measured;
      }
      lastSize = size;
      lastExcess = excess;
      const next = size * Math.exp(-excess / slope);
      size = next > low && next < high ? next : 0.5 * (low + high);
      if (high - low <= 1e-14 * high) return size;
    }
    return size;
  }

  /** The same from a size near to it, without a bracket; null where that does not settle, and `sizeOf` decides. */
  sizeNear(angle: number, speedRpm: number, guess: number): number | null {
    let size = guess;
    let slope = 1;
    let lastSize = 0;
    let lastExcess = 0;
    for (let i = 0; i < 6; i++) {
      const excess = this.speedAt(angle, size) / speedRpm - 1;
      if (!(Math.abs(excess) < 0.01)) return null;
      if (lastSize > 0 && size !== lastSize) slope = ((excess - lastExcess) / (size - lastSize)) * size;
      // The error of a secant step is about the product of what the last two left.
      const error = Math.abs(excess) * (i > 0 ? Math.abs(lastExcess) : 1);
      lastSize = size;
      lastExcess = excess;
      if (!(slope > 0.05 && slope < 20)) return null;
      size *= 1 - excess / slope;
      if (error < 1e-12) return this.holds(angle, size) ? size : null;
    }
    return null;
  }
}
