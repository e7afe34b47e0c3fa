import { productOfPowers, ratioOf } from './measured.ts';
import type { Measured, WheelMeasurement, WheelRatios } from './types.ts';
import { wheelFigures } from './wheel-figures.ts';

/**
 * Ratios of one wheel to another of the same kind, each with its width: the widths of both wheels add up, also where the same calipers
 * measured both.
 *
 * @param wheel over...
 * @param other ...this one
 * @returns null for a ratio of which a measurement is missing
 */
export function wheelRatios(wheel: WheelMeasurement, other: WheelMeasurement): WheelRatios {
  const a = wheelFigures(wheel);
  const b = wheelFigures(other);
  const inducerArea = ratioOf(a.inducerAreaM2, b.inducerAreaM2);
  const exducerArea = ratioOf(a.exducerAreaM2, b.exducerAreaM2);
  return {
    inducerDiameter: root(inducerArea),
    exducerDiameter: root(exducerArea),
    inducerArea,
    exducerArea,
    tipPassageArea: ratioOf(a.tipPassageAreaM2, b.tipPassageAreaM2),
    trim: ratioOf(a.trim, b.trim),
  };
}

function root(area: Measured | null): Measured | null {
  return area === null ? null : productOfPowers(1, [{ of: area, power: 0.5 }]);
}
