import type { CandidateResults } from '../../../src/store/index.ts';
import type { TurbineCapacity } from '../../../src/turbine/index.ts';
import type { TurbineSide } from '../../../src/views/match/drawer/turbine/turbineSide.ts';
import { solvedExample } from './solved-point.ts';

/** A nozzle-like capacity with two speed lines; numbers chosen by hand. */
export function exampleCapacity(over: Partial<TurbineCapacity> = {}): TurbineCapacity {
  const flow = (ratio: number) => 3.0e-4 * Math.min(1, (ratio - 1) / 1.5);
  const points = [1.5, 2, 3].map((expansionRatio) => ({
    expansionRatio,
    flowParameterM2: flow(expansionRatio),
    efficiency: null,
  }));
  return {
    from: 'sheet',
    band: 0,
    flowParameter: (ratio) => flow(ratio),
    isExtended: (ratio) => ratio < 1.5 || ratio > 3,
    isChoked: (ratio) => ratio >= 2.5,
    efficiency: () => null,
    lines: [{ reducedSpeed: 200, points }],
    ...over,
  };
}

/** Gate shut and short of the goal at the first `shut` engine speeds, then open by a tenth more at each. */
export function drivenSide(letter: 'A' | 'B', shut = 2, over: Partial<TurbineSide> = {}): TurbineSide {
  const points = [2000, 2500, 3000, 3500].map((engineSpeedRpm, i) => {
    const isShut = i < shut;
    const expansionRatio = 1.4 + 0.2 * i;
    return solvedExample({
      engineSpeedRpm,
      manifoldPressurePa: 200_000,
      turbineInletPressurePa: 180_000 + 20_000 * i,
      backPressureRatio: (180_000 + 20_000 * i) / 200_000,
      expansionRatio,
      wastegateShare: isShut ? 0 : 0.1 * (i - shut + 1),
      turbine: {
        heldBy: isShut ? 'turbine' : 'goal',
        reachedShare: isShut ? 0.9996 : 1,
        gateAreaM2: isShut ? 0 : 1e-4 * (i - shut + 1),
        gateOpening: null,
        inletTemperatureK: 1123.15,
        temperatureEstimated: true,
        outletPressurePa: 105_000,
        outletTemperatureK: 1000,
        massFlowKgPerS: 0.05,
        flowParameterM2: exampleCapacity().flowParameter(expansionRatio, 200),
        reducedSpeed: 180 + i,
        efficiency: 0.65,
        speedRatio: null,
        powerW: 9000,
        choked: false,
        extended: false,
        breathingFactor: 1,
      },
    });
  });
  const input = { turbine: { capacity: exampleCapacity() }, limits: { backPressureRatio: 1.2 } };
  const results = { points, input, candidate: { name: letter } } as unknown as CandidateResults;
  return { index: letter === 'A' ? 0 : 1, letter, style: letter === 'A' ? 'a' : 'b', results, line: null, ...over };
}
