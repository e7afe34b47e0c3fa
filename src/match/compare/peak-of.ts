import type { OperatingPointSolved } from '../types.ts';

/** The point of highest brake power; null of none. */
export function peakOf(points: readonly OperatingPointSolved[]): OperatingPointSolved | null {
  let peak: OperatingPointSolved | null = null;
  for (const point of points) if (peak === null || point.brakePowerW > peak.brakePowerW) peak = point;
  return peak;
}
