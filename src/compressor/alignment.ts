import { solveLinear } from '../numerics/index.ts';
import type { PolarPoint } from './coordinates.ts';

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
