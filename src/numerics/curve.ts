import type { Curve } from './types.ts';

/**
 * Value of a curve at an engine speed: linear between its points, constant outside the first and the last.
 *
 * @param curve points in rising engine speed, at least one
 * @param engineSpeedRpm rev/min
 * @returns the value in the curve's own unit, or null for an empty curve or an engine speed that is not a number
 */
export function evaluateCurve(curve: Curve, engineSpeedRpm: number): number | null {
  const first = curve[0];
  const last = curve[curve.length - 1];
  if (first === undefined || last === undefined || Number.isNaN(engineSpeedRpm)) return null;
  if (engineSpeedRpm <= first.engineSpeedRpm) return first.value;
  if (engineSpeedRpm >= last.engineSpeedRpm) return last.value;
  let below = first;
  for (const point of curve) {
    if (point.engineSpeedRpm >= engineSpeedRpm) {
      const share = (engineSpeedRpm - below.engineSpeedRpm) / (point.engineSpeedRpm - below.engineSpeedRpm);
      return below.value + share * (point.value - below.value);
    }
    below = point;
  }
  return last.value;
}

/** True where `evaluateCurve` answers by holding an end value: one point is a constant by intent and never counts. */
export function isOutsideCurve(curve: Curve, engineSpeedRpm: number): boolean {
  const first = curve[0];
  const last = curve[curve.length - 1];
  if (first === undefined || last === undefined || curve.length < 2) return false;
  return engineSpeedRpm < first.engineSpeedRpm || engineSpeedRpm > last.engineSpeedRpm;
}
