import type { CompressorSurface } from '../../compressor/types.ts';
import { findRoot } from '../../numerics/index.ts';
import { gasState } from '../gas-state.ts';
import { type LineModel, outletTemperature } from '../line-model.ts';
import type { SpeedModel } from '../speed-model.ts';

/** The largest pressure ratio and corrected flow that a surface may answer for, with a little room. */
export interface MapReach {
  pressureRatio: number;
  correctedMassFlowKgPerS: number;
}

const SAMPLES = 12;

export function mapReach(surface: CompressorSurface): MapReach {
  // A surface may have no answer on its highest line by a last digit: the range then would end where the map begins.
  let pressureRatio = Math.max(1.05, surface.extent.maxPressureRatio);
  let correctedMassFlowKgPerS = surface.extent.maxFlowKgPerS;
  const top = surface.highestAnswerRpm;
  for (let i = 0; i <= SAMPLES; i++) {
    pressureRatio = Math.max(pressureRatio, surface.on(top, i / SAMPLES)?.pressureRatio ?? 1);
    const rpm = surface.lowestAnswerRpm + ((top - surface.lowestAnswerRpm) * i) / SAMPLES;
    correctedMassFlowKgPerS = Math.max(correctedMassFlowKgPerS, surface.chokeAt(rpm)?.correctedMassFlowKgPerS ?? 0);
  }
  return { pressureRatio: pressureRatio * 1.02, correctedMassFlowKgPerS: correctedMassFlowKgPerS * 1.07 };
}

/**
 * Manifold pressures between which the compressor works at one engine speed: from pressure ratio 1 to beyond the end of the map. Only
 * where to look: what holds there is solved.
 */
export function pressureRange(line: LineModel, speed: SpeedModel, reach: MapReach): { lowPa: number; topPa: number } {
  const ambientPa = line.input.ambient.pressurePa;
  const at = (pressurePa: number, temperatureK: number) =>
    gasState(line, { ...speed, goal: { kind: 'pressure', manifoldPressurePa: pressurePa } }, temperatureK);
  const rough = { xTolerance: 0.002 * ambientPa };
  const uncompressed = (p: number) => at(p, line.inletTemperatureK).pressureRatio - 1;
  const low = findRoot(uncompressed, 0.02 * ambientPa, ambientPa, { xTolerance: 1 });
  const lowPa = low.ok ? low.value : 0.02 * ambientPa;
  const hot = outletTemperature(line, reach.pressureRatio, 0.6);
  const room = (p: number) => {
    const state = at(p, hot);
    const flowRoom = reach.correctedMassFlowKgPerS / state.correctedMassFlowKgPerS;
    return Math.log(Math.min(reach.pressureRatio / state.pressureRatio, flowRoom));
  };
  const top = findRoot(room, lowPa, 2 * reach.pressureRatio * ambientPa, rough);
  const topPa = top.ok ? top.value : reach.pressureRatio * ambientPa;
  return { lowPa, topPa: Math.max(topPa * 1.02, lowPa * 1.05) };
}
