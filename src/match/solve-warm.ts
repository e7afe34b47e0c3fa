import type { SurfaceAt } from '../compressor/types.ts';
import { gasState } from './gas-state.ts';
import { HOTTEST_OUTLET_K, type LineModel, outletTemperature } from './line-model.ts';
import type { SpeedSolution } from './solve-speed.ts';
import type { SpeedModel } from './speed-model.ts';

const MAX_STEPS = 12;
const TOLERANCE = 3e-9;

export type WarmSolution = Extract<SpeedSolution, { ok: true }>;

/**
 * The closed loop of `solveSpeed` as one equation in the outlet temperature, for studies that solve thousands of neighbouring points:
 * from a guess near the solution it takes three or four readings of the map. It has no bracket and proves nothing.
 *
 * @param guessK outlet temperature to start from
 * @param tolerance of the temperature rise, relative
 * @returns the solution, or null when the map has no answer on the way or the steps do not settle: `solveSpeed` decides then
 */
export function solveWarm(
  line: LineModel,
  speed: SpeedModel,
  guessK: number,
  tolerance = TOLERANCE,
): WarmSolution | null {
  const T01 = line.inletTemperatureK;
  let T = Math.min(HOTTEST_OUTLET_K, Math.max(T01, guessK));
  let previousT = Number.NaN;
  let previousResidual = Number.NaN;
  for (let i = 0; i < MAX_STEPS; i++) {
    const here = readAt(line, speed, T);
    if (here === null) return null;
    const end = outletTemperature(line, here.state.pressureRatio, here.efficiency);
    if (end >= HOTTEST_OUTLET_K) return null;
    const residual = end - T;
    if (isSettled(line, T, end, tolerance)) return here;
    const slope = (residual - previousResidual) / (T - previousT);
    const next = Number.isFinite(slope) && slope < -0.2 ? T - residual / slope : end;
    previousT = T;
    previousResidual = residual;
    T = Math.min(HOTTEST_OUTLET_K, Math.max(T01, next));
  }
  return null;
}

/** One reading of the map at an outlet temperature, settled or not; null where it has no answer. */
export function readAt(line: LineModel, speed: SpeedModel, outletTemperatureK: number): WarmSolution | null {
  const { compressor, assumedEfficiency } = line.input;
  const state = gasState(line, speed, outletTemperatureK);
  if (state.inletExhausted || !(state.pressureRatio > 1)) return null;
  const surface = compressor.at(state.correctedMassFlowKgPerS, state.pressureRatio);
  const efficiency = usableEfficiency(surface, assumedEfficiency);
  const { correctedSpeedRpm } = surface;
  if (efficiency === null || correctedSpeedRpm === null) return null;
  const efficiencyAssumed = surface.efficiency === null;
  return { ok: true, state, efficiency, efficiencyAssumed, surface, correctedSpeedRpm };
}

/** Whether an outlet temperature leads to itself, to a share of the rise; to the digits that there are where there is next to none. */
export function isSettled(line: LineModel, outletK: number, endK: number, tolerance: number): boolean {
  return Math.abs(endK - outletK) <= tolerance * (outletK - line.inletTemperatureK) + 1e-12 * outletK;
}

/** Efficiencies to start from where no solved neighbour says better. */
const COLD_STARTS = [0.7, 0.5];

/** Outlet temperatures to start from where no solved neighbour says better; none where the engine needs no compressor. */
export function coldGuesses(line: LineModel, speed: SpeedModel): number[] {
  const first = gasState(line, speed, line.inletTemperatureK);
  if (!(first.pressureRatio > 1)) return [];
  return COLD_STARTS.map((efficiency) => {
    const hot = outletTemperature(line, first.pressureRatio, efficiency);
    return outletTemperature(line, gasState(line, speed, hot).pressureRatio, efficiency);
  });
}

/** Efficiency of a reading of the map; null where it cannot be compressed with. */
function usableEfficiency(surface: SurfaceAt, assumed: number | undefined): number | null {
  if (!((surface.correctedSpeedRpm ?? 0) > 0)) return null;
  const efficiency = surface.efficiency ?? assumed ?? null;
  return efficiency !== null && efficiency > 0 && efficiency <= 1 ? efficiency : null;
}
