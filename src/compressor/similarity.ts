import { solveLinear } from '../numerics/index.ts';
import type { LinePoint } from './fit-surface.ts';

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
  // To the power 1 / EXPONENT, without a logarithm: every margin asks for it.
  const head = 1 + root * root;
  return head * head * head * Math.sqrt(head);
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
/** How much of the ends' law is followed, as candidates among which the points decide. */
const SHARES = [0, 0.5, 1] as const;

/**
 * With rising speed the shape of a speed line (best efficiency, knee, choke) may move to other throttle angles, because air is
 * compressible. Measured between the smooth laws of the lines' own ends, features that move with the ends stay in place: a line that was
 * never entered is then found between its neighbours by shape, not by angle. Where the lines do not end at choke, or where the shape does not
 * move, the angle itself is the better measure, and half the way may be better than both: the evidence of the points decides
 * (`fitProcess` takes the best candidate). Away from the entered sizes the laws stand still, so that towards rest only similarity speaks.
 */
export class Alignment {
  private readonly surge: EndLaw;
  private readonly choke: EndLaw;
  private readonly share: number;

  private constructor(surge: EndLaw, choke: EndLaw, share: number) {
    this.surge = surge;
    this.choke = choke;
    this.share = share;
  }

  /** The alignments to choose from; only the angle itself where the ends follow no law. */
  static candidates(lines: readonly LineEnds[]): Alignment[] {
    const surge = endLaw(lines.map((line) => line.surge));
    const choke = endLaw(lines.map((line) => line.choke));
    const width = surge.mean - choke.mean;
    const isLaw =
      width > 0 &&
      lines.every((line) =>
        [line.surge.size, line.choke.size].every(
          (size) => valueAt(surge, size) - valueAt(choke, size) > LEAST_WIDTH * width,
        ),
      );
    return (isLaw ? SHARES : [0]).map((share) => new Alignment(surge, choke, share));
  }

  /** The angle that a place would have if surge and choke stood at their mean angles for every speed, or the way there that is followed. */
  along(angle: number, size: number): number {
    if (this.share === 0) return angle;
    const { surge, choke, share } = this;
    const low = valueAt(choke, size);
    const aligned = choke.mean + ((angle - low) / (valueAt(surge, size) - low)) * (surge.mean - choke.mean);
    return angle + share * (aligned - angle);
  }

  /** Slopes over a place's ln flow and ln root head from those over the aligned angle and size. */
  slopesAt(place: PolarPoint, perAligned: number, perSize: number): PlaceSlopes {
    const STEP = 1e-4;
    const { angle, size } = place;
    const byAngle = (this.along(angle + STEP, size) - this.along(angle - STEP, size)) / (2 * STEP);
    const bySize = (this.along(angle, size + STEP) - this.along(angle, size - STEP)) / (2 * STEP);
    return placeSlopes(place, perAligned * byAngle, perSize + perAligned * bySize);
  }
}

/** A parabola where there are four lines or more, else a straight line or a constant. */
function endLaw(ends: readonly PolarPoint[]): EndLaw {
  const sizes = ends.map((end) => end.size);
  const mean = ends.reduce((sum, end) => sum + end.angle, 0) / ends.length;
  const terms = ends.length > 3 ? 3 : Math.min(2, ends.length);
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

/** Variances and covariance of a place's reading errors, in ln flow and ln root head. */
export interface PlaceError {
  flow: number;
  both: number;
  rootHead: number;
}

/** Errors of rounding to these steps, each taken as independent. */
export function placeError(...steps: readonly RelativeStep[]): PlaceError {
  const variance = (of: (step: RelativeStep) => number) => steps.reduce((sum, step) => sum + of(step) ** 2, 0) / 12;
  return { flow: variance((step) => step.flow), both: 0, rootHead: variance((step) => step.rootHead) };
}

/** How a quantity changes with ln flow and ln root head. */
export interface PlaceSlopes {
  flow: number;
  rootHead: number;
}

/** Variance of a quantity of these slopes from the errors of its place. */
export function varianceOf(slopes: PlaceSlopes, error: PlaceError): number {
  const { flow, rootHead } = slopes;
  return flow ** 2 * error.flow + 2 * flow * rootHead * error.both + rootHead ** 2 * error.rootHead;
}

/** Slopes over ln flow and ln root head from those over angle and size. */
export function placeSlopes({ angle, size }: PolarPoint, perAngle: number, perSize: number): PlaceSlopes {
  const across = (Math.sin(Math.PI * angle) / Math.PI) * perAngle;
  const flowShare = Math.cos((angle * Math.PI) / 2) ** 2;
  return { flow: flowShare * size * perSize - across, rootHead: (1 - flowShare) * size * perSize + across };
}

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
