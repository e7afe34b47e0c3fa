import { describe, expect, it } from 'vitest';
import { isentropicEnthalpyRise } from '../../src/air/gas.ts';
import { constantPropertyGas, exhaustMixture } from '../../src/air/index.ts';
import { FUELS } from '../../src/engine/index.ts';
import { breathingFactor, exhaustModel } from '../../src/match/exhaust-model.ts';
import { type MatchInput, type OperatingPointSolved, solveOperatingLine } from '../../src/match/index.ts';
import { lineModel } from '../../src/match/line-model.ts';
import { EXHAUST_NOZZLE } from '../../src/turbine/laws.ts';
import type { TurbineCapacity } from '../../src/turbine/types.ts';
import { analyticSurface } from '../match/analytic-surface.ts';
import { exampleInput, GRAM_PER_KWH } from '../match/example-input.ts';
import { typicalTurbine } from '../match/typical-turbine.ts';

const constant = (value: number) => [{ engineSpeedRpm: 1000, value }];

function only(input: MatchInput): OperatingPointSolved {
  const [point] = solveOperatingLine(input);
  if (point?.status !== 'ok') throw new Error(`no point: ${point?.status}`);
  return point;
}

/** A nozzle that sees a part of the expansion: area times psi(ER^exponent), gamma 4/3; chokes as the formula says. */
function nozzleCapacity(areaM2: number, exponent: number): TurbineCapacity {
  return {
    from: 'sheet',
    band: 0,
    flowParameter: (ratio) => areaM2 * EXHAUST_NOZZLE.at(ratio ** exponent),
    isExtended: () => false,
    isChoked: (ratio) => ratio ** exponent >= EXHAUST_NOZZLE.criticalExpansionRatio,
    efficiency: () => null,
    lines: [],
  };
}

/** Compressor 0.2 kg/s from 298.15 K at pressure ratio 2 and efficiency 0.75, turbine inlet 1173.15 K: an engine bent until it is so. */
function selfCheckInput(): MatchInput {
  const example = exampleInput();
  const capacity = nozzleCapacity(7e-4, 0.62);
  return {
    ...example,
    engine: {
      ...example.engine,
      displacementM3: 2.4e-3,
      volumetricEfficiency: constant(1),
      lambda: constant(1),
      bsfcKgPerJ: constant(310 * GRAM_PER_KWH),
    },
    ambient: { pressurePa: 100_000, temperatureK: 298.15, vapourMoleFraction: 0 },
    inletPath: { lossPa: 0, atMassFlowKgPerS: 0.3, atDensityKgPerM3: 1.2, heatingK: 0 },
    chargePath: { lossPa: 0, atMassFlowKgPerS: 0.3, atDensityKgPerM3: 2, cooler: { kind: 'none' } },
    goal: { kind: 'gauge-boost', curve: constant(100_000) },
    compressor: analyticSurface(undefined, false),
    assumedEfficiency: 0.75,
    turbine: {
      capacity,
      efficiency: { kind: 'number', value: 0.7 },
      mechanicalEfficiency: 0.97,
      exhaustLoss: { lossPa: 0, atMassFlowKgPerS: 0.2, atDensityKgPerM3: 0.3 },
      inletTemperatureK: constant(1173.15),
    },
    engineSpeedsRpm: [6000],
  };
}

describe('power balance by constant-property formulas, as a pocket calculator does it', () => {
  const input = selfCheckInput();
  const point = only(input);

  // Hand calculation with gamma 1.4, cp 1005: 0.2 x 1005 x 298.15 (2^(0.4/1.4) - 1) / 0.75 = 17.500 kW, so 87.50 kJ/kg. Heat capacity that
  // rises with temperature moves it by under 0.5 % at these temperatures.
  it('compressor: 17.500 kW for 0.2 kg/s, within 0.5 % of what varies with temperature', () => {
    expect(point.pressureRatio).toBeCloseTo(2, 9);
    const forIt = (point.compressorPowerW / point.airMassFlowKgPerS) * 0.2;
    expect(Math.abs(forIt / 17_500 - 1)).toBeLessThan(0.005);
    expect(forIt).not.toBeCloseTo(17_500, -1);
  });

  // Hand calculation with gamma 4/3, cp 1148 (Saravanamuttoo et al., Gas Turbine Theory, from memory): 0.2 (1 + 1/14.6) kg/s from 1173.15 K over an
  // expansion ratio of 1.8 at 0.70 and 0.97: 26.706 kW.
  it('turbine: 26.706 kW at an expansion ratio of 1.8 by those, 0.7 % more by the exhaust of petrol at lambda 1', () => {
    const drop = 1148 * 1173.15 * (1 - 1.8 ** -0.25);
    expect(Math.abs(0.2 * (1 + 1 / 14.6) * drop * 0.7 * 0.97 - 26_706)).toBeLessThan(2);
    const gas = exhaustMixture(FUELS.petrol.composition, 1, 0)!;
    const real = -isentropicEnthalpyRise(gas, 1173.15, 1 / 1.8)!;
    // Its cp is 12 % larger and its gamma 1.28 instead of 1.333, so that the temperature falls less: the two nearly cancel.
    expect(real / drop - 1).toBeGreaterThan(0.004);
    expect(real / drop - 1).toBeLessThan(0.009);
  });

  it('the point balanced by hand with those formulas has the expansion ratio that the solve finds, within 2 %', () => {
    // W3 (h03 - h4s) 0.70 x 0.97 = Pc with constant properties, from the reported flow through the turbine.
    const wanted = point.compressorPowerW / (0.7 * 0.97 * point.turbine!.massFlowKgPerS * 1148 * 1173.15);
    const byHand = (1 - wanted) ** -4;
    expect(Math.abs(byHand / point.expansionRatio! - 1)).toBeLessThan(0.02);
  });
});

describe('Gorla and Khan example 7.1 (28 kg/s, 1000 K, 5.2 to 1.03 bar, 0.88: 9350 kW)', () => {
  it('by gamma 1.33 and cp 1147 as printed; by the exhaust of a lean burner within 3 %', () => {
    const constantGas = constantPropertyGas(1.33, 1147);
    const printed = -28 * 0.88 * isentropicEnthalpyRise(constantGas, 1000, 1.03 / 5.2)!;
    expect(Math.abs(printed - 9_350_000)).toBeLessThan(1000);
    // A gas turbine burns at lambda 3 to 4.
    const lean = exhaustMixture(FUELS.diesel.composition, 3.5, 0)!;
    const real = -28 * 0.88 * isentropicEnthalpyRise(lean, 1000, 1.03 / 5.2)!;
    expect(Math.abs(real / printed - 1)).toBeLessThan(0.03);
  });
});

/**
 * Gas generator matching (Saravanamuttoo, Rogers, Cohen, Gas Turbine Theory, chapter on off-design performance; from memory): with both
 * nozzles choked the non-dimensional flow W3 sqrt(T03)/p03 is constant, and the work balance gives
 * T03/T01 from the compressor's temperature rise: cpa dT012 = eta_m cpg dT034 (W3/W).
 */
describe('gas generator matching', () => {
  it('a choked turbine passes the same W3 sqrt(T03)/p03 whatever the boost and temperature', () => {
    const base = selfCheckInput();
    const parameters = [90_000, 110_000, 130_000].flatMap((boost) =>
      [1050, 1200].map((kelvin) => {
        const turbine = {
          ...base.turbine!,
          capacity: nozzleCapacity(2.9e-4, 0.95),
          efficiency: { kind: 'number', value: 0.45 } as const,
          inletTemperatureK: constant(kelvin),
        };
        const point = only({ ...base, goal: { kind: 'gauge-boost', curve: constant(boost) }, turbine });
        expect(point.turbine?.choked).toBe(true);
        const { massFlowKgPerS, inletTemperatureK } = point.turbine!;
        return (massFlowKgPerS * Math.sqrt(inletTemperatureK)) / point.turbineInletPressurePa!;
      }),
    );
    // Choked flow 0.67322 A / sqrt(R), gamma 4/3 (isentropic tables), R 286.58 of petrol's exhaust at lambda 1.
    for (const parameter of parameters)
      expect(Math.abs(parameter / ((0.67322 * 2.9e-4) / Math.sqrt(286.58)) - 1)).toBeLessThan(2e-4);
  });

  it('for a given compressor temperature rise the turbine drop goes inversely with the share of flow through it', () => {
    const base = selfCheckInput();
    for (const area of [6e-4, 7e-4, 8e-4]) {
      const point = only({ ...base, turbine: { ...base.turbine!, capacity: nozzleCapacity(area, 0.62) } });
      const drop = point.turbine!.inletTemperatureK - point.turbine!.outletTemperatureK;
      const rise = point.compressorOutletTemperatureK - 298.15;
      const { massFlowKgPerS } = point.turbine!;
      // cp 1010 of air near 340 K, and 1290 of petrol's exhaust near 1120 K (the polynomials' values, 1260 at 1000 K and 1307 at 1200 K).
      const byHand = (point.airMassFlowKgPerS * 1010 * rise) / (0.97 * massFlowKgPerS * 1290);
      expect(Math.abs(drop / byHand - 1)).toBeLessThan(0.015);
    }
  });
});

describe('volumetric efficiency of the ideal cycle over p_e/p_i (Heywood, chapters 5 and 6, from memory)', () => {
  // (r_c - (pe/pi)^(1/gamma)) / (r_c - 1), by hand: gamma 1.3: 1.5^(1/1.3) = 1.36603, r_c 9: 7.63397/8 = 0.95425; 2^(1/1.3) = 1.70441,
  // 7.29559/8 = 0.91195; 0.8^(1/1.3) = 0.84228, 8.15772/8 = 1.01972; r_c 10.5, 1.5: 9.13397/9.5 = 0.96147.
  it.each([
    [9, 1.3, 1.5, 0.95425],
    [9, 1.3, 2, 0.91195],
    [9, 1.3, 0.8, 1.01972],
    [9, 1.3, 1, 1],
    [10.5, 1.3, 1.5, 0.96147],
  ])('r_c %d, gamma %d, p3/p_m %d: %d', (compressionRatio, gamma, ratio, expected) => {
    const input = exampleInput({ turbine: typicalTurbine(1) });
    const made = exhaustModel(lineModel(input)!, input.turbine!, 4000, 0.85, 310 * GRAM_PER_KWH);
    if (!made.ok) throw new Error(made.message);
    const breathing = { compressionRatio, inverseGamma: 1 / gamma, atMeasured: 1 };
    expect(Math.abs(breathingFactor({ ...made.exhaust, breathing }, ratio) - expected)).toBeLessThan(5e-6);
  });

  it('takes gamma of the exhaust at the turbine inlet: 1.281 for petrol at lambda 1 and 1200 K', () => {
    const input = { ...selfCheckInput() };
    const turbine = { ...input.turbine!, inletTemperatureK: constant(1200) };
    const point = only({ ...input, turbine });
    const byHand = (9 - point.backPressureRatio! ** (1 / 1.2809)) / 8;
    expect(Math.abs(point.turbine!.breathingFactor - byHand)).toBeLessThan(2e-6);
  });
});

/**
 * Independent code: the relations of sections 1 to 7 of the method written once more in another language as nested searches (outlet
 * temperature, expansion, back-pressure, boost; bisection and Brent's method agree to 1e-13), the polynomial coefficients typed from NASA/TP-2002-211556 again. Moist thin air,
 * all losses, efficiency over U/C0, a measured back-pressure ratio.
 */
function independentCase(areaM2: number, engineSpeedRpm: number): MatchInput {
  const example = exampleInput();
  return {
    ...example,
    engine: {
      ...example.engine,
      displacementM3: 2.4e-3,
      compressionRatio: 9.5,
      volumetricEfficiency: constant(0.93),
      lambda: constant(0.86),
      bsfcKgPerJ: constant(305 * GRAM_PER_KWH),
    },
    ambient: { pressurePa: 94_000, temperatureK: 301, vapourMoleFraction: 0.018 },
    inletPath: { lossPa: 2800, atMassFlowKgPerS: 0.3, atDensityKgPerM3: 1.19, heatingK: 6 },
    chargePath: {
      lossPa: 9500,
      atMassFlowKgPerS: 0.28,
      atDensityKgPerM3: 2.05,
      cooler: { kind: 'cooler', effectiveness: 0.72, coolantTemperatureK: 306 },
    },
    goal: { kind: 'gauge-boost', curve: constant(95_000) },
    compressor: analyticSurface(),
    turbine: {
      capacity: nozzleCapacity(areaM2, 0.62),
      efficiency: { kind: 'speed-ratio', best: 0.71, optimum: 0.69, wheelDiameterM: 0.052 },
      mechanicalEfficiency: 0.955,
      exhaustLoss: { lossPa: 16_000, atMassFlowKgPerS: 0.22, atDensityKgPerM3: 0.33 },
      inletTemperatureK: constant(1145),
      measuredBackPressureRatio: 1.1,
    },
    engineSpeedsRpm: [engineSpeedRpm],
  };
}

const HELD = {
  airMassFlowKgPerS: 0.18859942342907948,
  manifoldPressurePa: 189000,
  pressureRatio: 2.093794404786829,
  efficiency: 0.7660125192950066,
  shaftSpeedRpm: 112933.02485893776,
  compressorOutletTemperatureK: 400.5119251655681,
  compressorPowerW: 17964.92095116039,
  fuelMassFlowKgPerS: 0.014848690660588424,
  brakePowerW: 175263.23402661746,
  turbineInletPressurePa: 226198.05328554893,
  backPressureRatio: 1.196815096748936,
  expansionRatio: 2.049774609417354,
  wastegateShare: 0.348656789930771,
} as const;
const HELD_TURBINE = {
  outletPressurePa: 110352.64669896825,
  outletTemperatureK: 1036.5898971797988,
  massFlowKgPerS: 0.13251454771369503,
  efficiency: 0.6296761581211234,
  speedRatio: 0.45791762900316735,
  powerW: 18811.435550953334,
  breathingFactor: 0.991363068082915,
} as const;

describe('a whole point held by the gate, to 1e-6 (independent code)', () => {
  const point = only(independentCase(5.2e-4, 5200));

  it.each(Object.entries(HELD))('%s is %d', (key, expected) => {
    expect(Math.abs(point[key as keyof typeof HELD]! / expected - 1)).toBeLessThan(1e-6);
  });

  it.each(Object.entries(HELD_TURBINE))('turbine: %s is %d', (key, expected) => {
    expect(Math.abs(point.turbine![key as keyof typeof HELD_TURBINE]! / expected - 1)).toBeLessThan(1e-6);
    expect(point.turbine!.heldBy).toBe('goal');
  });
});

const LIMITED = {
  airMassFlowKgPerS: 0.09591361580951796,
  manifoldPressurePa: 133388.29796957885,
  pressureRatio: 1.4421681293160329,
  efficiency: 0.7478498181625775,
  shaftSpeedRpm: 66602.51024563506,
  compressorOutletTemperatureK: 352.04666306361787,
  compressorPowerW: 4391.475982771997,
  fuelMassFlowKgPerS: 0.007551410207940564,
  brakePowerW: 89131.3991756919,
  turbineInletPressurePa: 120615.99115262718,
  backPressureRatio: 0.9042471715182651,
  expansionRatio: 1.2279024559751954,
} as const;
const LIMITED_TURBINE = {
  reachedShare: 133388.29796957885 / 189_000,
  outletPressurePa: 98229.2938381937,
  outletTemperatureK: 1111.2876364013164,
  massFlowKgPerS: 0.10346502601747358,
  efficiency: 0.6507369112686763,
  speedRatio: 0.49065191973432454,
  powerW: 4598.404170441802,
  breathingFactor: 1.018013001016907,
} as const;

describe('a whole point that the turbine limits, to 1e-6 (independent code; the goal itself would need 10 % more exhaust than there is)', () => {
  const point = only(independentCase(11e-4, 3500));

  it.each(Object.entries(LIMITED))('%s is %d', (key, expected) => {
    expect(Math.abs(point[key as keyof typeof LIMITED]! / expected - 1)).toBeLessThan(1e-6);
  });

  it.each(Object.entries(LIMITED_TURBINE))('turbine: %s is %d', (key, expected) => {
    expect(Math.abs(point.turbine![key as keyof typeof LIMITED_TURBINE]! / expected - 1)).toBeLessThan(1e-6);
    expect(point.turbine!.heldBy).toBe('turbine');
    expect(point.wastegateShare).toBe(0);
  });
});
