import { solveLinear } from '../numerics/index.ts';
import { HermiteTable, type TableBox } from './efficiency-field.ts';
import type { LinePoint } from './fit-surface.ts';
import { fitProcess, type HyperPrior, type LogHyper, ROUNDING_DEVIATION } from './gaussian-process.ts';

/**
 * Similarity coordinates of a map. With x = W / W0 (flow) and y = sqrt(h) / H0 (root of the isentropic head), both linear in speed for
 * similar flows, a point is put in polar form: the angle is the same for every speed on one throttle line, the size grows with speed,
 * and N / size is nearly a function of the angle alone. Speed lines, flat near surge and steep at choke, are near-circles here:
 * single-valued in angle all along. The polar form of the flow-head plane is ours; similarity itself is textbook
 * (Dixon & Hall, Fluid Mechanics and Thermodynamics of Turbomachinery, ch. 2).
 */
export interface SimilarityScale {
  /** Corrected flow per corrected speed, kg/s per rev/min, that makes x = 1 at speed 1. */
  readonly flowPerRpm: number;
  /** Root of head per corrected speed. */
  readonly rootHeadPerRpm: number;
  /** Speed of the top line, rev/min: size 1 is of its order. */
  readonly topRpm: number;
}

/** (gamma - 1) / gamma of cold air. Only a coordinate: both ways through the same value, so no result depends on it. */
const EXPONENT = 2 / 7;

/** Root of the isentropic head over cp Tref: sqrt(PR^(2/7) - 1); pressureRatio >= 1. */
export function rootHead(pressureRatio: number): number {
  return Math.sqrt(pressureRatio ** EXPONENT - 1);
}

/** d ln(rootHead) / d PR. */
export function rootHeadSensitivity(pressureRatio: number): number {
  const power = pressureRatio ** EXPONENT;
  return (0.5 * EXPONENT * power) / ((power - 1) * pressureRatio);
}

export function pressureRatioOf(root: number): number {
  return (1 + root * root) ** (1 / EXPONENT);
}

/** Angle as a share of the quarter circle: 0 all flow, 1 all head. */
export function angleOf(x: number, y: number): number {
  return Math.atan2(y, x) * (2 / Math.PI);
}

/** A place in similarity coordinates. */
export interface PolarPoint {
  /** 0 all flow, 1 all head. */
  angle: number;
  /** Grows with speed; of the order of 1 on the top line. */
  size: number;
}

/** Both ends of a speed line in similarity coordinates. */
export interface LineEnds {
  surge: PolarPoint;
  choke: PolarPoint;
}

/** An end of the lines as a smooth law of size: what compressibility does to surge and choke, without the scatter of the readings. */
interface EndLaw {
  coefficients: readonly number[];
  from: number;
  to: number;
  mean: number;
}

/** A law that brings the ends nearer to each other than this share of their mean distance is no law: lines were cut short. */
const LEAST_WIDTH = 0.3;

/**
 * With rising speed the whole shape of a speed line (best efficiency, knee, choke) moves to other throttle angles, because air is
 * compressible. Measured between the smooth laws of the lines' own ends, these features stay in place: a line that was never entered is
 * then found between its neighbours by shape, not by angle. Away from the entered sizes the laws stand still, so that towards rest only
 * similarity speaks.
 */
export class Alignment {
  private readonly surge: EndLaw;
  private readonly choke: EndLaw;
  private readonly isUseful: boolean;

  constructor(lines: readonly LineEnds[]) {
    this.surge = endLaw(lines.map((line) => line.surge));
    this.choke = endLaw(lines.map((line) => line.choke));
    const width = this.surge.mean - this.choke.mean;
    this.isUseful =
      width > 0 &&
      lines.every(({ surge, choke }) =>
        [surge.size, choke.size].every(
          (size) => valueAt(this.surge, size) - valueAt(this.choke, size) > LEAST_WIDTH * width,
        ),
      );
  }

  /** The angle that a place would have if surge and choke stood at their mean angles for every speed. */
  along(angle: number, size: number): number {
    if (!this.isUseful) return angle;
    const { surge, choke } = this;
    const low = valueAt(choke, size);
    const share = (angle - low) / (valueAt(surge, size) - low);
    return choke.mean + share * (surge.mean - choke.mean);
  }
}

/** A parabola where there are lines enough for one, else a straight line or a constant. */
function endLaw(ends: readonly PolarPoint[]): EndLaw {
  const sizes = ends.map((end) => end.size);
  const mean = ends.reduce((sum, end) => sum + end.angle, 0) / ends.length;
  const terms = 1 + Math.max(0, Math.min(2, ends.length - 2));
  const matrix = Array.from({ length: terms }, (_, i) =>
    Array.from({ length: terms }, (__, j) => sizes.reduce((sum, size) => sum + size ** (i + j), i === j ? 1e-9 : 0)),
  );
  const right = Array.from({ length: terms }, (_, i) => ends.reduce((sum, end) => sum + end.angle * end.size ** i, 0));
  const solved = solveLinear(matrix, right);
  return { coefficients: solved ?? [mean], from: Math.min(...sizes), to: Math.max(...sizes), mean };
}

function valueAt({ coefficients, from, to }: EndLaw, size: number): number {
  const at = size < from ? from : size > to ? to : size;
  let value = 0;
  for (let i = coefficients.length - 1; i >= 0; i--) value = value * at + coefficients[i]!;
  return value;
}

/**
 * Where the search for the lengths starts, and how far it may reasonably end from there: angle lengths as a share of the quarter
 * circle, size lengths in top-line speeds, amplitudes in ln N. Set on the analytic machines and the measured map of the tests.
 */
const SPEED_PRIOR: HyperPrior = {
  mean: [0.12, 0.5, 0.1, 0.23, 0.5, 1].map(Math.log) as unknown as LogHyper,
  spread: [1.2, 0.7, 1.2, 0.7, 0.8, 0.3],
};
/** The least reading error assumed, in ln N: nobody reads a sheet better. */
const LEAST_NOISE = 2e-4;
/** The surface passes through entered points within this speed error, or within the sheet's own rounding where that is coarser. */
const PASS_TOLERANCE = 0.003;

/** Relative reading errors of a point: full rounding step over value, in flow and in root head. */
export interface RelativeStep {
  flow: number;
  rootHead: number;
}

/**
 * Nobody places a point better than this share of the axis, however many digits are typed: the noise of traced points is of this kind.
 * Given as a rounding step; the search scales it to what the points show.
 */
export const LEAST_AXIS_STEP = 7e-4;

export function relativeStep(
  point: { flowKgPerS: number; pressureRatio: number },
  flowStep: number,
  ratioStep: number,
): RelativeStep {
  return { flow: flowStep / point.flowKgPerS, rootHead: rootHeadSensitivity(point.pressureRatio) * ratioStep };
}

export function toPolar(scale: SimilarityScale, flowKgPerS: number, pressureRatio: number): PolarPoint {
  const x = flowKgPerS / scale.flowPerRpm;
  const y = rootHead(pressureRatio) / scale.rootHeadPerRpm;
  // Not Math.hypot: it costs several times as much, and nothing here is near overflow.
  return { angle: angleOf(x, y), size: Math.sqrt(x * x + y * y) / scale.topRpm };
}

export function similarityScale(points: readonly LinePoint[]): SimilarityScale {
  let flowPerRpm = 0;
  let rootHeadPerRpm = 0;
  let topRpm = 0;
  for (const point of points) {
    flowPerRpm = Math.max(flowPerRpm, point.flowKgPerS / point.speedRpm);
    rootHeadPerRpm = Math.max(rootHeadPerRpm, rootHead(point.pressureRatio) / point.speedRpm);
    topRpm = Math.max(topRpm, point.speedRpm);
  }
  return { flowPerRpm, rootHeadPerRpm, topRpm };
}

/** Speeds above the top line, as a share of it, up to which the field must rise along every ray. */
const EXTENSION = 1.05;

/** How far in angle and size the tables reach beyond the entered points. */
const ANGLE_REACH = 0.12;
const SIZE_REACH = 1.35;

/** @param polar the points' places, angles aligned. */
export function tableBox(polar: readonly PolarPoint[], points: readonly LinePoint[]): TableBox {
  const lowestRpm = Math.min(...points.map((p) => p.speedRpm));
  const sizeFloor = Math.min(...polar.filter((_, i) => points[i]!.speedRpm === lowestRpm).map((p) => p.size));
  let angleFrom = 1;
  let angleTo = 0;
  let size = 0;
  for (const point of polar) {
    angleFrom = Math.min(angleFrom, point.angle);
    angleTo = Math.max(angleTo, point.angle);
    size = Math.max(size, point.size);
  }
  return {
    angleFrom: Math.max(0.002, angleFrom - ANGLE_REACH),
    angleTo: Math.min(0.998, angleTo + ANGLE_REACH),
    sizeTo: size * SIZE_REACH,
    sizeFloor,
  };
}

/** Corrected speed over the similarity coordinates: ln(N / size) is the fitted quantity. */
export class SpeedField {
  private readonly table: HermiteTable;
  private readonly scale: SimilarityScale;
  private readonly alignment: Alignment;
  private readonly mean: number;

  private constructor(table: HermiteTable, scale: SimilarityScale, alignment: Alignment, mean: number) {
    this.table = table;
    this.scale = scale;
    this.alignment = alignment;
    this.mean = mean;
  }

  /** @returns null when the points cannot be fitted by any single-valued field. */
  static fit(
    points: readonly LinePoint[],
    polar: readonly PolarPoint[],
    steps: readonly RelativeStep[],
    blur: readonly RelativeStep[],
    scale: SimilarityScale,
    alignment: Alignment,
    box: TableBox,
  ): SpeedField | null {
    const logs = points.map((point, i) => Math.log(point.speedRpm / (polar[i]!.size * scale.topRpm)));
    const mean = logs.reduce((sum, value) => sum + value, 0) / logs.length;
    const noise = new Float64Array(points.length);
    const tolerance = new Float64Array(points.length);
    polar.forEach(({ angle }, i) => {
      // N is of first degree in (x, y); on a circle about the origin its share from x is cos^2.
      const flowShare = Math.cos((angle * Math.PI) / 2) ** 2;
      const flow = flowShare * steps[i]!.flow;
      const head = (1 - flowShare) * steps[i]!.rootHead;
      const traced = Math.hypot(flowShare * blur[i]!.flow, (1 - flowShare) * blur[i]!.rootHead);
      noise[i] = Math.hypot(ROUNDING_DEVIATION * Math.hypot(flow, head, traced), LEAST_NOISE);
      tolerance[i] = Math.max(PASS_TOLERANCE, 0.5 * (flow + head));
    });
    const data = {
      angle: Float64Array.from(polar, (p) => alignment.along(p.angle, p.size)),
      size: Float64Array.from(polar, (p) => p.size),
      value: Float64Array.from(logs, (value) => value - mean),
      noise,
    };
    // Contradictory sheets (crossing lines, a mistyped speed) can bend the field until speed no longer rises outwards. A stiffer and
    // more forgiving fit is tried then: single-valued comes first, and the audit names the contradiction.
    for (let attempt = 0; attempt < 4; attempt++) {
      const stiffness = 3 ** attempt;
      const prior: HyperPrior =
        attempt === 0
          ? SPEED_PRIOR
          : {
              mean: SPEED_PRIOR.mean.map((v, k) =>
                k === 4 || k === 3 ? v + 0.4 * attempt : k === 5 ? v + Math.log(stiffness) : v,
              ) as unknown as LogHyper,
              spread: [1.2, 0.3, 0.6, 0.2, 0.2, 0.7],
            };
      const fit = fitProcess(data, prior, attempt === 0 ? tolerance : tolerance.map(() => Number.POSITIVE_INFINITY));
      const field = fit && new SpeedField(new HermiteTable(fit, box), scale, alignment, mean);
      if (field?.risesOutwards(polar, EXTENSION * scale.topRpm)) return field;
    }
    return null;
  }

  /** Whether speed rises along every ray between the outermost entered angles, from rest to just above the top line. */
  private risesOutwards(entered: readonly PolarPoint[], toRpm: number): boolean {
    const from = Math.min(...entered.map((p) => p.angle));
    const to = Math.max(...entered.map((p) => p.angle));
    for (let a = 0; a <= 24; a++) {
      const angle = from + ((to - from) * a) / 24;
      let before = 0;
      for (let s = 1; s <= 32 && before < toRpm; s++) {
        const speed = this.speedAt(angle, (this.table.sizeTo * s) / 32);
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
    return { from: this.table.angleFrom, to: this.table.angleTo };
  }

  /** Corrected speed, rev/min, at coordinates that the field holds; beyond its angles that of the nearest. */
  speedAt(angle: number, size: number): number {
    const { angleFrom, angleTo } = this.table;
    const along = Math.min(angleTo, Math.max(angleFrom, this.alignment.along(angle, size)));
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
    let high = this.table.sizeTo;
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
      lastSize = size;
      lastExcess = excess;
      if (!(slope > 0.05 && slope < 20)) return null;
      size *= 1 - excess / slope;
      // The error of a secant step is the product of the last two: with a measured slope this one is beyond the digits.
      const isLast = i > 0 ? Math.abs(excess) < 1e-9 : Math.abs(excess) < 1e-13;
      if (isLast) return this.holds(angle, size) ? size : null;
    }
    return null;
  }
}
