import { describe, expect, it } from 'vitest';
import {
  compress,
  constantPropertyGas,
  DRY_AIR,
  density,
  dryMassFraction,
  moistAir,
  stoichiometricAirFuelRatio,
} from '../../src/air/index.ts';
import { airMassFlow } from '../../src/engine/flow-path.ts';
import {
  airPressureShare,
  brakePower,
  cooledTemperature,
  dryAirForPower,
  FUELS,
  type FuelKey,
  fuelMassFlow,
  fuelNeed,
  fuelVolumeFlow,
  injectorDuty,
  lossCoefficient,
  type PowerCorrection,
  powerCorrectionFactor,
  pressureBefore,
  pressureLoss,
  sweptVolumeFlow,
  thermalEfficiency,
  torque,
} from '../../src/engine/index.ts';

const KG_PER_KWH = 1 / 3.6e6;
const BTU_PER_LB = 2326;

// Heywood, Internal Combustion Engine Fundamentals, table D.4 (from memory), and the US DOE Alternative Fuels Data Center,
// "Properties of Fuels" (heating values in Btu/lb; air-fuel ratio). Formula: from the atoms, independent code.
const FUEL_ROWS: readonly [FuelKey, number, number | null, number, number | null][] = [
  // key, formula, Heywood AFR, tolerance of it, DOE LHV Btu/lb
  ['petrol', 14.603, 14.6, 0.005, 18_676],
  ['diesel', 14.503, 14.5, 0.005, 18_394],
  ['ethanol', 9.004, 9.0, 0.002, 11_585],
  ['methanol', 6.473, 6.47, 0.002, 8_637],
  ['natural-gas', 17.239, 17.23, 0.002, 20_263],
  ['e85', 9.81, null, 0, null],
];

describe('fuels', () => {
  it.each(FUEL_ROWS)(
    '%s: air-fuel ratio %f from its atoms, %s in Heywood D.4',
    (key, formula, heywood, tolerance, lhv) => {
      const fuel = FUELS[key];
      expect(Math.abs(fuel.stoichiometricAirFuelRatio / formula - 1)).toBeLessThan(2e-3);
      if (heywood !== null) expect(Math.abs(fuel.stoichiometricAirFuelRatio / heywood - 1)).toBeLessThan(tolerance);
      if (lhv !== null) expect(Math.abs(fuel.lowerHeatingValueJPerKg / (lhv * BTU_PER_LB) - 1)).toBeLessThan(1e-3);
    },
  );

  it('isooctane from its atoms: 15.13 (Heywood D.4)', () => {
    expect(stoichiometricAirFuelRatio({ carbon: 8, hydrogen: 18, oxygen: 0 })).toBeCloseTo(15.13, 2);
  });

  it('E85 mixed by volume: 29.26 MJ/kg (DOE values of its parts), E10 between petrol and E85', () => {
    expect(FUELS.e85.lowerHeatingValueJPerKg / 1e6).toBeCloseTo(29.26, 1);
    expect(FUELS.e10.stoichiometricAirFuelRatio).toBeCloseTo(0.10525 * 9.004 + 0.89475 * 14.603, 1);
  });

  it('bsfc at thermal efficiency 0.30 and 43.44 MJ/kg is 276.2 g/kWh (bsfc = 3.6 / (eta LHV))', () => {
    expect(thermalEfficiency(276.2e-3 * KG_PER_KWH, FUELS.petrol.lowerHeatingValueJPerKg)).toBeCloseTo(0.3, 4);
  });
});

// Heywood eq. 6.2 (from memory): p_air/p = 1 / (1 + (F/A)(Ma/Mf) + W Ma/Mw), evaluated independently for a stoichiometric mixture, all
// evaporated; DOE prints 6.5 % of vapour by volume for ethanol and 2 % for petrol.
const VAPOUR: readonly [FuelKey, number][] = [
  ['ethanol', 0.9347],
  ['petrol', 0.9816],
  ['methanol', 0.8774],
  ['natural-gas', 0.9052],
];

describe('fuel vapour in the port', () => {
  const dry = { lambda: 1, vapourMoleFraction: 0, dryMassFraction: 1, airMolarMassKgPerMol: DRY_AIR.molarMassKgPerMol };

  it.each(VAPOUR)('%s leaves %f of the pressure to the air (Heywood eq. 6.2)', (key, share) => {
    expect(Math.abs(airPressureShare({ injection: 'port', fuel: FUELS[key], ...dry }) - share)).toBeLessThan(2e-4);
    expect(airPressureShare({ injection: 'direct', fuel: FUELS[key], ...dry })).toBe(1);
  });

  it('follows the same equation in moist air at any lambda', () => {
    const x = 0.03;
    const share = airPressureShare({
      injection: 'port',
      fuel: FUELS.ethanol,
      lambda: 0.8,
      vapourMoleFraction: x,
      dryMassFraction: dryMassFraction(x)!,
      airMolarMassKgPerMol: moistAir(x)!.molarMassKgPerMol,
    });
    const W = 1 / dryMassFraction(x)! - 1;
    const heywood = 1 / (1 + (1 / (0.8 * 9.004)) * (28.965 / 46.07) + W * (28.965 / 18.015));
    expect(Math.abs(share * (1 - x) - heywood)).toBeLessThan(1e-4);
  });
});

describe('air demand', () => {
  it('2.0 L four-stroke at 6000 rpm, efficiency 0.90, 1.2 kg/m3: 0.1080 kg/s (Heywood eq. 2.27)', () => {
    const R = DRY_AIR.gasConstant;
    const flow = airMassFlow({
      volumetricEfficiency: 0.9,
      sweptVolumeFlowM3PerS: sweptVolumeFlow(2e-3, 4, 6000),
      manifoldPressurePa: 1.2 * R * 300,
      manifoldTemperatureK: 300,
      gasConstant: R,
      airPressureShare: 1,
    });
    expect(flow).toBeCloseTo(0.108, 6);
    expect(sweptVolumeFlow(2e-3, 2, 6000)).toBeCloseTo(2 * sweptVolumeFlow(2e-3, 4, 6000), 12);
  });

  it('Ganesan example 19.1 (corrected for its R): 5.400 m3/min swept, T2 361.59 K, 8.456 kg/min and 8.725 kW at pressure ratio 1.6', () => {
    const swept = sweptVolumeFlow(3e-3, 4, 3600);
    expect(swept * 60).toBeCloseTo(5.4, 6);
    expect(0.82 * swept * 60).toBeCloseTo(4.428, 6);
    const air = constantPropertyGas(1.4, 1005);
    const result = compress(air, 300, 1.6, 0.7)!;
    expect(Math.abs(result.outletTemperatureK - 361.59)).toBeLessThan(0.02);
    const flow = airMassFlow({
      volumetricEfficiency: 1,
      sweptVolumeFlowM3PerS: swept,
      manifoldPressurePa: 1.6e5,
      manifoldTemperatureK: 355.99,
      gasConstant: 287,
      airPressureShare: 1,
    });
    expect(Math.abs(flow * 60 - 8.456)).toBeLessThan(0.002);
    expect(Math.abs((flow * result.enthalpyRiseJPerKg) / 1000 - 8.725)).toBeLessThan(0.005);
  });

  it('Ganesan example 19.2: 280 kW at 0.24 kg/kWh and air-fuel ratio 18 burn 67.2 kg/h of fuel in 1209.6 kg/h of air; 23.0 L at 1800 rpm', () => {
    const air = dryAirForPower(280_000, 0.24 * KG_PER_KWH, 1, 18);
    expect(air * 3600).toBeCloseTo(1209.6, 3);
    const fuel = fuelMassFlow(air, 1, 18);
    expect(fuel * 3600).toBeCloseTo(67.2, 6);
    expect(brakePower(fuel, 0.24 * KG_PER_KWH)).toBeCloseTo(280_000, 3);
    const drawn = airMassFlow({
      volumetricEfficiency: 0.8,
      sweptVolumeFlowM3PerS: sweptVolumeFlow(0.02301, 4, 1800),
      manifoldPressurePa: 101_300,
      manifoldTemperatureK: 290,
      gasConstant: 287,
      airPressureShare: 1,
    });
    expect(Math.abs(drawn / air - 1)).toBeLessThan(1e-3);
  });

  it('University Physics 19.62: cooled back to 15 degC the charge is 44 % denser', () => {
    const gain = density(DRY_AIR, 1.45e5, 288.15) / density(DRY_AIR, 1.01e5, 288.15) - 1;
    expect(Math.round(gain * 100)).toBe(44);
  });
});

describe('charge cooler and losses', () => {
  it('effectiveness 0.75 from 390 K to a coolant of 300 K leaves 322.5 K (definition)', () => {
    const cooler = { kind: 'cooler', effectiveness: 0.75, coolantTemperatureK: 300 } as const;
    expect(cooledTemperature(cooler, 0.2, 390)).toBeCloseTo(322.5, 9);
  });

  it('gives the entered loss back at the entered flow and density, four times it at twice the flow (dp = K W^2 / rho)', () => {
    const K = lossCoefficient({ lossPa: 2500, atMassFlowKgPerS: 0.3, atDensityKgPerM3: 1.2 });
    expect(pressureLoss(K, 0.3, 1.2)).toBeCloseTo(2500, 9);
    expect(pressureLoss(K, 0.6, 1.2)).toBeCloseTo(10_000, 9);
    expect(pressureLoss(K, 0.3, 0.6)).toBeCloseTo(5000, 9);
  });

  it('finds the pressure before a path whose density is that of the gas before it', () => {
    const K = lossCoefficient({ lossPa: 9000, atMassFlowKgPerS: 0.3, atDensityKgPerM3: 2 });
    const before = pressureBefore(200_000, K, 0.35, 287, 390);
    expect(before - pressureLoss(K, 0.35, before / (287 * 390))).toBeCloseTo(200_000, 6);
  });
});

describe('power', () => {
  it('100 kW at 5252.1 rpm is 181.8 N m (P = 2 pi n M)', () => {
    expect(torque(100_000, 5252.1)).toBeCloseTo(181.82, 2);
    // road-log.md C: 200 kW at 5,252 rpm = 363.6 N m.
    expect(torque(200_000, 5252)).toBeCloseTo(363.6, 1);
  });

  it('an injector at four times its rated pressure passes twice its rated flow (orifice law)', () => {
    const supply = {
      injectorCount: 4,
      injectorFlowM3PerS: 550e-6 / 60,
      injectorRatedPressurePa: 3e5,
      railPressurePa: 3e5,
      railReference: 'manifold',
      dutyLimit: 0.85,
    } as const;
    // 4 x 550 cm3/min of 745 kg/m3 is 0.02732 kg/s.
    const flow = (4 * 550e-6 * 745) / 60;
    const rated = injectorDuty(supply, FUELS.petrol, flow, 2e5, 1e5);
    const high = injectorDuty({ ...supply, railPressurePa: 12e5 }, FUELS.petrol, flow, 2e5, 1e5);
    expect(rated.ok && rated.duty).toBeCloseTo(1, 9);
    expect(high.ok && high.duty).toBeCloseTo(0.5, 9);
  });

  it('the injector that is needed is open for just the duty limit: the inverse to 1e-12', () => {
    for (const railReference of ['manifold', 'ambient'] as const) {
      for (const [fuel, flow, manifoldPa] of [
        ['petrol', 0.0123, 1.9e5],
        ['e85', 0.031, 2.7e5],
        ['diesel', 0.004, 3.1e5],
      ] as const) {
        const supply = {
          injectorCount: 6,
          injectorRatedPressurePa: 3e5,
          railPressurePa: 4e5,
          railReference,
          dutyLimit: 0.8,
        };
        const need = fuelNeed(supply, FUELS[fuel], flow, manifoldPa, 0.9e5)!;
        const fitted = { ...supply, injectorFlowM3PerS: need.injectorFlowM3PerS };
        const duty = injectorDuty(fitted, FUELS[fuel], flow, manifoldPa, 0.9e5);
        expect(Math.abs((duty.ok ? duty.duty : Number.NaN) / 0.8 - 1)).toBeLessThan(1e-12);
        expect(need.pumpFlowM3PerS).toBe(fuelVolumeFlow(FUELS[fuel], flow));
        // The rail over ambient: a manifold reference adds the boost, an ambient one is the rail pressure itself.
        expect(need.pumpPressurePa).toBeCloseTo(railReference === 'manifold' ? 4e5 + manifoldPa - 0.9e5 : 4e5, 6);
      }
    }
  });

  it('four injectors at 85 % duty for 20 g/s of petrol: 473.8 cc/min each (hand calculation)', () => {
    const supply = {
      injectorCount: 4,
      injectorRatedPressurePa: 3e5,
      railPressurePa: 3e5,
      railReference: 'manifold',
      dutyLimit: 0.85,
    } as const;
    // 0.020 kg/s / 745 kg/m3 = 26.846 cm3/s = 1610.7 cc/min; / (4 x 0.85) = 473.75 cc/min; pump 96.6 L/h against 3 bar + 1 bar of boost.
    const need = fuelNeed(supply, FUELS.petrol, 0.02, 2e5, 1e5)!;
    expect(need.injectorFlowM3PerS * 60e6).toBeCloseTo(473.75, 1);
    expect(need.pumpFlowM3PerS * 3.6e6).toBeCloseTo(96.64, 1);
    expect(need.pumpPressurePa).toBeCloseTo(4e5, 6);
    // At four times the rated pressure half the injector is enough.
    const high = fuelNeed({ ...supply, railPressurePa: 12e5 }, FUELS.petrol, 0.02, 2e5, 1e5)!;
    expect(high.injectorFlowM3PerS * 60e6).toBeCloseTo(473.75 / 2, 1);
    expect(fuelNeed({ ...supply, railReference: 'ambient' }, FUELS.petrol, 0.02, 4e5, 1e5)).toBeNull();
    expect(fuelNeed(supply, FUELS['natural-gas'], 0.02, 2e5, 1e5)).toBeNull();
    expect(injectorDuty(supply, FUELS.petrol, 0.02, 2e5, 1e5)).toMatchObject({ ok: false, reason: 'no-injector' });
  });

  it('a rail referred to ambient loses the boost, and has nothing left when the boost reaches it', () => {
    const supply = {
      injectorCount: 4,
      injectorFlowM3PerS: 1e-5,
      injectorRatedPressurePa: 3e5,
      railPressurePa: 3e5,
      railReference: 'ambient',
      dutyLimit: 0.85,
    } as const;
    const half = injectorDuty(supply, FUELS.petrol, 0.01, 3.25e5, 1e5);
    expect(half).toMatchObject({ ok: true, pressureDifferencePa: 75_000 });
    expect(injectorDuty(supply, FUELS.petrol, 0.01, 4e5, 1e5)).toMatchObject({ ok: false, reason: 'no-pressure' });
    expect(injectorDuty(supply, FUELS['natural-gas'], 0.01, 2e5, 1e5)).toMatchObject({
      ok: false,
      reason: 'gaseous-fuel',
    });
  });
});

describe('the correction of a dynamometer', () => {
  // SAE J1349 (June 1990): the standard day from a text that quotes it; the others by hand from its equation. ISO 1585: from memory, by hand.
  const rows: readonly [PowerCorrection, number, number, number][] = [
    ['sae-j1349', 99_000, 298, 1],
    ['sae-j1349', 95_000, 308.15, 1.0701],
    ['sae-j1349', 101_300, 288.15, 0.9537],
    ['sae-j1349', 84_560, 298.15, 1.2015],
    ['iso-1585', 99_000, 298, 1],
    ['iso-1585', 95_000, 308, 1.0718],
    ['none', 95_000, 308, 1],
  ];
  it.each(rows)('%s at %d Pa and %d K is %f', (kind, dryPressurePa, temperatureK, expected) => {
    expect(Math.abs(powerCorrectionFactor(kind, dryPressurePa, temperatureK) - expected)).toBeLessThan(4e-4);
  });
});
