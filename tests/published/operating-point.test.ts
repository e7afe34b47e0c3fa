import { describe, expect, it } from 'vitest';
import { mapMargins } from '../../src/compressor/index.ts';
import { type MatchInput, type OperatingPointSolved, solveOperatingLine } from '../../src/match/index.ts';
import { lineModel } from '../../src/match/line-model.ts';
import { analyticSurface } from '../match/analytic-surface.ts';
import { exampleInput, GRAM_PER_KWH } from '../match/example-input.ts';

function onlyPoint(input: MatchInput): OperatingPointSolved {
  const [point] = solveOperatingLine(input);
  if (point?.status !== 'ok') throw new Error(`no point: ${point?.status}`);
  return point;
}

const constant = (value: number) => [{ engineSpeedRpm: 1000, value }];

/** Dry air, no losses, no cooler, efficiency 0.75: a point that tables and a pocket calculator settle. */
function plainInput(): MatchInput {
  const example = exampleInput();
  return {
    ...example,
    engine: {
      ...example.engine,
      displacementM3: 2e-3,
      volumetricEfficiency: constant(0.95),
      lambda: constant(0.9),
      bsfcKgPerJ: constant(300 * GRAM_PER_KWH),
    },
    ambient: { pressurePa: 100_000, temperatureK: 300, vapourMoleFraction: 0 },
    inletPath: { lossPa: 0, atMassFlowKgPerS: 0.3, atDensityKgPerM3: 1.2, heatingK: 0 },
    chargePath: { lossPa: 0, atMassFlowKgPerS: 0.3, atDensityKgPerM3: 2, cooler: { kind: 'none' } },
    goal: { kind: 'gauge-boost', curve: constant(100_000) },
    compressor: analyticSurface(undefined, false),
    assumedEfficiency: 0.75,
    engineSpeedsRpm: [6000],
  };
}

describe('a whole point by hand', () => {
  // Air table A-22 of Moran and Shapiro (from memory): T, h, pr = 300, 300.19, 1.3860; 360, 360.58, 2.626; 370, 370.67, 2.892;
  // 380, 380.77; 390, 390.88. Pressure ratio 2: pr2 = 2.772, h2s = 366.12, h2 = 300.19 + 65.93/0.75 = 388.09, T2 = 387.2 K.
  // Density 200000/(287.05 x 387.2) = 1.7994; W = 0.95 x 2e-3 x 6000/120 x 1.7994 = 0.17095 kg/s (Heywood eq. 2.27).
  // Fuel = W/(0.9 x 14.60) = 0.013010 kg/s; power = fuel / (300 g/kWh) = 156.1 kW; Pc = 0.17095 x 87.91 = 15.03 kW.
  // Wc = 0.17095 sqrt(300/298.15) = 0.17148 kg/s at 100 kPa.
  const point = onlyPoint(plainInput());

  it.each([
    ['pressureRatio', 2, 1e-9],
    ['compressorOutletTemperatureK', 387.2, 5e-4],
    ['airMassFlowKgPerS', 0.17095, 5e-4],
    ['correctedMassFlowKgPerS', 0.17148, 5e-4],
    ['fuelMassFlowKgPerS', 0.01301, 1e-3],
    ['brakePowerW', 156_100, 1e-3],
    ['compressorPowerW', 15_030, 1e-3],
    ['wheelPowerW', 156_100 * 0.85, 1e-3],
    ['torqueNm', 156_100 / (2 * Math.PI * 100), 1e-3],
  ] as const)('%s is %d', (key, expected, tolerance) => {
    expect(Math.abs(point[key] / expected - 1)).toBeLessThan(tolerance);
  });

  it('with a cooler of effectiveness 0.7 to 310 K the manifold has 310 + 0.3 (T2 - 310) and the air goes up with density', () => {
    const input = plainInput();
    const cooled = onlyPoint({
      ...input,
      chargePath: { ...input.chargePath, cooler: { kind: 'cooler', effectiveness: 0.7, coolantTemperatureK: 310 } },
    });
    expect(Math.abs(cooled.manifoldTemperatureK - (310 + 0.3 * (387.2 - 310)))).toBeLessThan(0.1);
    expect(cooled.airMassFlowKgPerS / point.airMassFlowKgPerS).toBeCloseTo(387.2 / 333.2, 3);
  });

  it('reads the same shaft speed as the closed-form compressor turns at that flow and ratio', () => {
    const { correctedMassFlowKgPerS: W, pressureRatio: PR } = point;
    // PR = 1 + 3.2 n^2 (1 - 0.62 phi^2), W = 0.36 n phi: eliminate phi, n^2 = (PR - 1)/3.2 + 0.62 (W/0.36)^2.
    const n = Math.sqrt((PR - 1) / 3.2 + 0.62 * (W / 0.36) ** 2);
    expect(Math.abs(point.correctedSpeedRpm / (150_000 * n) - 1)).toBeLessThan(1e-9);
    expect(Math.abs(point.shaftSpeedRpm / (150_000 * n * Math.sqrt(300 / 298.15)) - 1)).toBeLessThan(1e-5);
    expect(point.tipSpeedMPerS).toBeCloseTo((Math.PI * 0.062 * point.shaftSpeedRpm) / 60, 9);
  });
});

// One operating point in the reference states that sheets use: W 0.2 kg/s, N 150000 rpm, T01 308.15 K, p01 95.0 kPa. NASA TM X-71633
// gives the definitions of delta and theta; the rows are evaluated from them.
describe('corrected flow and speed', () => {
  it.each([
    ['ISA sea level', 288.15, 101_325, 0.22059, 145_051],
    ['298 K, 100 kPa', 298, 100_000, 0.21408, 147_509],
    ['298.15 K, 100 kPa', 298.15, 100_000, 0.21403, 147_546],
    ['545 R, 28.4 inHg', 302.778, 96_173.4, 0.20426, 148_687],
    ['293.15 K, 98.1 kPa', 293.15, 98_100, 0.21174, 146_304],
  ] as const)('in %s (%f K, %f Pa): %f kg/s and %d rpm', (_name, temperatureK, pressurePa, flow, speed) => {
    const example = exampleInput();
    const line = lineModel({
      ...example,
      ambient: { pressurePa: 95_000, temperatureK: 303.15, vapourMoleFraction: 0 },
      compressor: { ...example.compressor, reference: { temperatureK, pressurePa } },
    })!;
    expect(line.inletTemperatureK).toBe(308.15);
    expect(Math.abs((0.2 * line.flowFactor) / 95_000 / flow - 1)).toBeLessThan(3e-5);
    expect(Math.abs(150_000 / line.speedFactor / speed - 1)).toBeLessThan(1e-5);
  });
});

// Two measured readings of NASA's HECC compressor as reference and stall point (corrected lbm/s, pressure ratio; NASA HECC data archive,
// 2023): the margin (PRstall/PRref)(Wref/Wstall) - 1 in the NASA and AGARD form is 16.80 %, the flow alone 8.00 %.
describe('surge margin', () => {
  it('of the HECC readings (11.284, 4.4953) and (10.381, 4.8302)', () => {
    const surgeAt = () => ({ correctedMassFlowKgPerS: 10.381, pressureRatio: 4.8302 });
    const margins = mapMargins({ ...analyticSurface(), surgeAt, surgeFlowAt: () => 10.381 }, 21_784, 11.284, 4.4953);
    expect(margins.surgeMargin).toBeCloseTo(0.168, 4);
    expect(margins.surgeFlowDistance).toBeCloseTo(0.08, 4);
  });
});
