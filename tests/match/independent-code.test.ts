import { describe, expect, it } from 'vitest';
import { solveOperatingLine } from '../../src/match/index.ts';
import { analyticSurface } from './analytic-surface.ts';
import { exampleInput, GRAM_PER_KWH } from './example-input.ts';

const constant = (value: number) => [{ engineSpeedRpm: 1000, value }];

/**
 * Independent code: the relations of sections 1 to 6 of the method written once more in another language, with damped fixed-point
 * iteration and bisection in place of the solver here, and the polynomial coefficients typed from NASA/TP-2002-211556 again. The case
 * has everything at once: thin humid air, inlet heating, both losses, a cooler that falls with flow, port-injected ethanol.
 */
const EXPECTED = {
  airMassFlowKgPerS: 0.19159205495286047,
  correctedMassFlowKgPerS: 0.22182512528945064,
  pressureRatio: 2.4344337933106437,
  efficiency: 0.7649783435069841,
  correctedSpeedRpm: 124025.73663180966,
  shaftSpeedRpm: 127183.05541792436,
  compressorInletPressurePa: 88569.50124825585,
  compressorOutletTemperatureK: 427.73371962498913,
  compressorOutletPressurePa: 215616.58689542327,
  manifoldTemperatureK: 342.90024893519285,
  fuelMassFlowKgPerS: 0.025623137045914433,
  brakePowerW: 219626.88896498084,
  compressorPowerW: 22815.63507331127,
} as const;

describe('a point with everything in it', () => {
  const [point] = solveOperatingLine({
    ...exampleInput(),
    engine: {
      ...exampleInput().engine,
      displacementM3: 2.3e-3,
      injection: 'port',
      fuel: 'ethanol',
      volumetricEfficiency: constant(0.93),
      lambda: constant(0.82),
      bsfcKgPerJ: constant(420 * GRAM_PER_KWH),
    },
    ambient: { pressurePa: 90_000, temperatureK: 303.15, vapourMoleFraction: 0.02 },
    inletPath: { lossPa: 3000, atMassFlowKgPerS: 0.3, atDensityKgPerM3: 1.2, heatingK: 8 },
    chargePath: {
      lossPa: 12_000,
      atMassFlowKgPerS: 0.3,
      atDensityKgPerM3: 2,
      cooler: {
        kind: 'cooler',
        effectiveness: 0.8,
        effectivenessAtFlow: [
          { massFlowKgPerS: 0.1, effectiveness: 0.8 },
          { massFlowKgPerS: 0.35, effectiveness: 0.6 },
        ],
        coolantTemperatureK: 311,
      },
    },
    goal: { kind: 'gauge-boost', curve: constant(120_000) },
    compressor: analyticSurface(),
    engineSpeedsRpm: [5500],
  });

  it.each(Object.entries(EXPECTED))('%s is %d to 1e-6 (independent code)', (key, expected) => {
    if (point?.status !== 'ok') throw new Error(`no point: ${point?.status}`);
    expect(Math.abs(point[key as keyof typeof EXPECTED] / expected - 1)).toBeLessThan(1e-6);
  });
});
