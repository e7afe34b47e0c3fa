import type { OperatingPoint } from '../../match/index.ts';

/** The engine speed looked at, held within those of the line: outside them nothing is computed that a table or chart could show. */
export function speedWithin(points: readonly OperatingPoint[], engineSpeedRpm: number | null): number | null {
  const [first, last] = [points[0], points.at(-1)];
  if (engineSpeedRpm === null || first === undefined || last === undefined) return engineSpeedRpm;
  return Math.min(Math.max(engineSpeedRpm, first.engineSpeedRpm), last.engineSpeedRpm);
}
