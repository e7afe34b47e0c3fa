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
