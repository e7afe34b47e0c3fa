import type { CompressorSurface } from '../../src/compressor/types.ts';
import type { MatchInput } from '../../src/match/index.ts';
import { GRAM_PER_KWH } from './example-input.ts';

/** Root of the head: PR^(2/7) - 1, gamma 1.4. */
export const HEAD_EXPONENT = 2 / 7;
export const RPM_PER_ROOT_HEAD = 230_000;
export const STRAIGHT_EFFICIENCY = 0.72;

/**
 * The plainest compressor there is: one efficiency everywhere, and a corrected speed that depends on the pressure ratio alone,
 * N = k sqrt(PR^(2/7) - 1), whatever the flow; no surge, no choke. Ceilings follow from it in closed form.
 */
export function straightMap(): CompressorSurface {
  const highest = 190_000;
  const speedOf = (PR: number) => RPM_PER_ROOT_HEAD * Math.sqrt(PR ** HEAD_EXPONENT - 1);
  const ratioOf = (rpm: number) => (1 + (rpm / RPM_PER_ROOT_HEAD) ** 2) ** (1 / HEAD_EXPONENT);
  return {
    reference: { temperatureK: 288.15, pressurePa: 101_325 },
    hasEfficiency: true,
    lowestLineRpm: 1000,
    highestLineRpm: highest,
    lowestAnswerRpm: 1,
    highestAnswerRpm: highest,
    extent: { maxFlowKgPerS: 1, maxPressureRatio: ratioOf(highest) },
    limits: {},
    wheel: {},
    at: (W, PR) => {
      if (!(W > 0 && PR > 1 && speedOf(PR) <= highest)) {
        return { region: 'outside', correctedSpeedRpm: null, efficiency: null, beta: null, extended: true };
      }
      const correctedSpeedRpm = speedOf(PR);
      return { region: 'inside', correctedSpeedRpm, efficiency: STRAIGHT_EFFICIENCY, beta: null, extended: false };
    },
    on: (rpm, beta) => {
      if (rpm > highest || beta < 0 || beta > 1) return null;
      const pressureRatio = ratioOf(rpm);
      return { correctedMassFlowKgPerS: 1, pressureRatio, efficiency: STRAIGHT_EFFICIENCY, extended: false };
    },
    surgeAt: () => null,
    chokeAt: () => null,
    surgeFlowAt: () => null,
  };
}

/** Dry air, no losses, a cooler that cools to the temperature of its water whatever comes in: everything by hand. */
export function plainInput(changes: Partial<MatchInput> = {}): MatchInput {
  return {
    engine: {
      displacementM3: 2e-3,
      strokesPerCycle: 4,
      compressionRatio: 9,
      injection: 'direct',
      fuel: 'petrol',
      volumetricEfficiency: [{ engineSpeedRpm: 3000, value: 0.9 }],
      lambda: [{ engineSpeedRpm: 3000, value: 0.85 }],
      bsfcKgPerJ: [{ engineSpeedRpm: 3000, value: 300 * GRAM_PER_KWH }],
      drivelineLoss: 0.15,
    },
    ambient: { pressurePa: 101_325, temperatureK: 288.15, vapourMoleFraction: 0 },
    inletPath: { lossPa: 0, atMassFlowKgPerS: 0.3, atDensityKgPerM3: 1.2, heatingK: 0 },
    chargePath: {
      lossPa: 0,
      atMassFlowKgPerS: 0.3,
      atDensityKgPerM3: 2,
      cooler: { kind: 'cooler', effectiveness: 1, coolantTemperatureK: 310, medium: 'water' },
    },
    goal: { kind: 'gauge-boost', curve: [{ engineSpeedRpm: 3000, value: 100_000 }] },
    compressor: straightMap(),
    limits: {},
    engineSpeedsRpm: [3000, 4500, 6000],
    ...changes,
  };
}
