import { type MatchInput, type OperatingPoint, type StudyLimits, solveOperatingLine } from '../../src/match/index.ts';

/** Whether a point holds every limit, by the test's own reading of the limits; `room` is left to rounding. */
export function holdsAll(point: OperatingPoint, limits: StudyLimits, topLineRpm: number, room = 1e-9): boolean {
  if (point.status !== 'ok') return false;
  const { shaftSpeedRpm: most, shaftSpeedReserve: reserve = 0 } = limits;
  const under = (value: number, limit: number | undefined) => limit === undefined || value <= limit * (1 + room);
  return (
    under(point.shaftSpeedRpm, most === undefined ? undefined : most * (1 - reserve)) &&
    (point.surgeMargin === null || point.surgeMargin >= (limits.surgeMargin ?? 0) - room) &&
    (point.chokeMargin === null || point.chokeMargin >= (limits.chokeMargin ?? 0) - room) &&
    point.region !== 'left-of-surge' &&
    point.region !== 'right-of-choke' &&
    under(point.compressorOutletTemperatureK, limits.compressorOutletTemperatureK) &&
    under(point.manifoldPressurePa, limits.manifoldPressurePa) &&
    under(point.brakePowerW, limits.brakePowerW) &&
    under(point.torqueNm, limits.torqueNm) &&
    (limits.stayBelowTopLine !== true || under(point.correctedSpeedRpm, topLineRpm)) &&
    // With a turbine: the exhaust must drive it, and its own two limits count.
    (point.turbine === null ||
      (point.turbine.heldBy === 'goal' &&
        under(point.backPressureRatio ?? Number.NaN, limits.backPressureRatio) &&
        under(point.turbine.inletTemperatureK, limits.turbineInletTemperatureK)))
  );
}

/** The operating point with a manifold pressure held, by the whole solve of the operating line. */
export function pointAt(input: MatchInput, engineSpeedRpm: number, pressurePa: number): OperatingPoint {
  const goal = { kind: 'manifold-pressure', curve: [{ engineSpeedRpm: 3000, value: pressurePa }] } as const;
  return solveOperatingLine({ ...input, goal, engineSpeedsRpm: [engineSpeedRpm] })[0]!;
}

/**
 * The ceiling by brute force: the whole solve at every 0.4 % of pressure from the top down, then plain bisection. null: nothing holds.
 */
export function bruteCeiling(input: MatchInput, engineSpeedRpm: number, limits: StudyLimits): number | null {
  const holds = (p: number) => holdsAll(pointAt(input, engineSpeedRpm, p), limits, input.compressor.highestLineRpm);
  let high = input.ambient.pressurePa * 8;
  while (high > 0.5 * input.ambient.pressurePa) {
    let low = high / 1.004;
    if (holds(low)) {
      while (high - low > 1) {
        const middle = (low + high) / 2;
        if (holds(middle)) low = middle;
        else high = middle;
      }
      return low;
    }
    high = low;
  }
  return null;
}
