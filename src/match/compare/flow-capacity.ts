import type { CompressorSurface } from '../../compressor/types.ts';
import { findRoot } from '../../numerics/index.ts';

/**
 * The most flow that a map passes at a pressure ratio without going over a corrected speed, in corrected kg/s at the map's own
 * reference: where its choke end has that pressure ratio, or, higher up, where its fastest line has it.
 *
 * @param pressureRatio over 1
 * @param highestRpm corrected; beyond the top entered line that line is taken, so that nothing extended counts
 * @returns null where the pressure ratio is not reached, or lies below the choke end of the lowest answer
 */
export function flowCapacity(surface: CompressorSurface, pressureRatio: number, highestRpm: number): number | null {
  const top = Math.min(highestRpm, surface.highestLineRpm);
  const choke = surface.chokeAt(top);
  const surge = surface.surgeAt(top);
  if (choke === null || surge === null || !(pressureRatio > 1)) return null;
  if (pressureRatio <= choke.pressureRatio) {
    const speed = findRoot(
      (rpm) => (surface.chokeAt(rpm)?.pressureRatio ?? Number.NaN) - pressureRatio,
      surface.lowestAnswerRpm,
      top,
      { fTolerance: 1e-9 },
    );
    return speed.ok ? (surface.chokeAt(speed.value)?.correctedMassFlowKgPerS ?? null) : null;
  }
  return flowOnLine(surface, top, pressureRatio);
}

/** Where a line has a pressure ratio, farthest from surge: a line may rise before it falls. */
function flowOnLine(surface: CompressorSurface, rpm: number, pressureRatio: number): number | null {
  const steps = 64;
  const over = (beta: number) => (surface.on(rpm, beta)?.pressureRatio ?? Number.NaN) - pressureRatio;
  for (let i = steps - 1; i >= 0; i--) {
    const beta = i / steps;
    if (!(over(beta) >= 0)) continue;
    const root = findRoot(over, beta, beta + 1 / steps, { fTolerance: 1e-9 });
    return root.ok ? (surface.on(rpm, root.value)?.correctedMassFlowKgPerS ?? null) : null;
  }
  return null;
}
