import type { AltitudeCrossing } from './types.ts';

/**
 * The engine speeds under the boost threshold, which rises with altitude: from the lowest up, those at which the exhaust does not drive the
 * goal at the lowest altitude or ceases to on the way up. They say where the boost begins, not how far up the goal can be held: the
 * threshold creeps past one engine speed after the other from the first metre on.
 *
 * @returns engine speeds; none where the lowest one that holds a limit at the lowest altitude is stopped by another limit, or none
 */
export function speedsUnderThreshold(crossings: readonly AltitudeCrossing[]): ReadonlySet<number> {
  const under = new Set<number>();
  for (const { engineSpeedRpm, status, limit } of crossings.toSorted((a, b) => a.engineSpeedRpm - b.engineSpeedRpm)) {
    const isTurbine = limit === 'turbine' || limit === 'turbine-too-weak';
    if (isTurbine) under.add(engineSpeedRpm);
    // Deep in surge at every altitude is another matter, and does not hide the threshold above it.
    else if (status !== 'from-lowest') break;
  }
  return under;
}
