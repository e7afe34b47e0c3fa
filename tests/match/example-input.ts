import type { MatchInput } from '../../src/match/index.ts';
import { analyticSurface } from './analytic-surface.ts';

export const GRAM_PER_KWH = 1 / 3.6e9;

/** An invented 2.5-litre four with an invented compressor; every number plain enough to check by hand. */
export function exampleInput(changes: Partial<MatchInput> = {}): MatchInput {
  return {
    engine: {
      displacementM3: 2.5e-3,
      strokesPerCycle: 4,
      compressionRatio: 9,
      injection: 'direct',
      fuel: 'petrol',
      volumetricEfficiency: [
        { engineSpeedRpm: 2000, value: 0.85 },
        { engineSpeedRpm: 4500, value: 0.97 },
        { engineSpeedRpm: 7000, value: 0.9 },
      ],
      lambda: [{ engineSpeedRpm: 3000, value: 0.85 }],
      bsfcKgPerJ: [{ engineSpeedRpm: 3000, value: 310 * GRAM_PER_KWH }],
      drivelineLoss: 0.15,
    },
    ambient: { pressurePa: 101325, temperatureK: 293.15, vapourMoleFraction: 0.0115 },
    inletPath: { lossPa: 2500, atMassFlowKgPerS: 0.3, atDensityKgPerM3: 1.2, heatingK: 5 },
    chargePath: {
      lossPa: 9000,
      atMassFlowKgPerS: 0.3,
      atDensityKgPerM3: 2.0,
      cooler: { kind: 'cooler', effectiveness: 0.7, coolantTemperatureK: 298.15 },
    },
    goal: { kind: 'gauge-boost', curve: [{ engineSpeedRpm: 3000, value: 110_000 }] },
    compressor: analyticSurface(),
    limits: { shaftSpeedReserve: 0.02, surgeMargin: 0.1, chokeMargin: 0.05 },
    engineSpeedsRpm: [2500, 3000, 3500, 4000, 4500, 5000, 5500, 6000, 6500, 7000],
    ...changes,
  };
}
