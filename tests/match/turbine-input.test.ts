import { describe, expect, it } from 'vitest';
import { type MatchInput, solveCeilings, solveOperatingLine, standardPlace } from '../../src/match/index.ts';
import type { TurbineInput } from '../../src/turbine/types.ts';
import { exampleInput } from './example-input.ts';
import { typicalTurbine } from './typical-turbine.ts';

const RATIO = 'Back-pressure ratio at which volumetric efficiency was measured';

/** What cannot be, and how the sentence begins that says so. */
const WRONG: readonly (readonly [string, string, Partial<TurbineInput>])[] = [
  ['no exhaust loss', 'Exhaust loss is missing', { exhaustLoss: loss({ lossPa: Number.NaN }) }],
  ['a negative loss', 'Exhaust loss is out of range', { exhaustLoss: loss({ lossPa: -1 }) }],
  ['a loss at no flow', 'Flow at which the exhaust loss', { exhaustLoss: loss({ atMassFlowKgPerS: 0 }) }],
  ['a loss at no density', 'Density at which the exhaust loss', { exhaustLoss: loss({ atDensityKgPerM3: 0 }) }],
  ['no mechanical efficiency', 'Mechanical efficiency of the turbo is missing', { mechanicalEfficiency: Number.NaN }],
  ['a mechanical efficiency in percent', 'Mechanical efficiency of the turbo is out', { mechanicalEfficiency: 95 }],
  ['an efficiency in percent', 'Turbine efficiency is out of range', { efficiency: { kind: 'number', value: 70 } }],
  [
    'a parabola without wheel',
    'Turbine wheel diameter is missing',
    { efficiency: parabola({ wheelDiameterM: Number.NaN }) },
  ],
  ['a parabola without optimum', 'U/C0 of the best turbine efficiency', { efficiency: parabola({ optimum: 0 }) }],
  ['a parabola without peak', 'Best turbine efficiency is missing', { efficiency: parabola({ best: Number.NaN }) }],
  [
    'efficiencies of a sheet that has none',
    'The sheet of the turbine has no efficiencies',
    { efficiency: { kind: 'sheet' } },
  ],
  ['a capacity factor of 0', 'Factor on the capacity of the turbine', { capacityFactor: 0 }],
  ['a capacity factor that is no number', 'Factor on the capacity of the turbine', { capacityFactor: Number.NaN }],
  [
    'an efficiency shift that is no number',
    'Shift of the turbine efficiency is missing',
    { efficiencyShift: Number.NaN },
  ],
  ['an efficiency shift in points', 'Shift of the turbine efficiency is out', { efficiencyShift: 3 }],
  [
    'a temperature shift that is no number',
    'Shift of the turbine inlet temperature',
    { inletTemperatureShiftK: Number.NaN },
  ],
  ['a temperature curve without points', 'Turbine inlet temperature has no points', { inletTemperatureK: [] }],
  [
    'a temperature in degrees Celsius',
    'The turbine inlet temperature is out of range',
    { inletTemperatureK: at(2100) },
  ],
  ['a temperature that is no number', 'Turbine inlet temperature has a point', { inletTemperatureK: at(Number.NaN) }],
  ['measured against no back-pressure', RATIO, { measuredBackPressureRatio: 0 }],
  ['measured against ten times the pressure', RATIO, { measuredBackPressureRatio: 10 }],
  ['measured against a number that is none', RATIO, { measuredBackPressureRatio: Number.NaN }],
];

function loss(changed: Partial<TurbineInput['exhaustLoss']>): TurbineInput['exhaustLoss'] {
  return { lossPa: 15_000, atMassFlowKgPerS: 0.2, atDensityKgPerM3: 0.3, ...changed };
}

function parabola(changed: { best?: number; optimum?: number; wheelDiameterM?: number }): TurbineInput['efficiency'] {
  return { kind: 'speed-ratio', best: 0.72, optimum: 0.68, wheelDiameterM: 0.05, ...changed };
}

function at(value: number) {
  return [{ engineSpeedRpm: 3000, value }];
}

function expectRefused(input: MatchInput, beginning: string): void {
  const [point] = solveOperatingLine({ ...input, engineSpeedsRpm: [4000] });
  if (point?.status !== 'bad-input') throw new Error(`not refused: ${point?.status}`);
  expect(point.message.startsWith(beginning), point.message).toBe(true);
  expect(point.message).toMatch(/^[A-Z].*\.$/);
  const place = standardPlace(0, { temperature: { kind: 'standard' }, relativeHumidity: 0.4 });
  if (!place.ok) throw new Error(place.message);
  const cell = solveCeilings(input, [place.place], [4000]).cells[0]?.[0];
  expect(cell).toMatchObject({ binding: 'bad-input', message: point.message });
}

describe('a turbine that cannot be', () => {
  it.each(WRONG)(
    '%s: refused in one sentence that begins with %j, by the line and by the ceilings',
    (_what, beginning, changed) => {
      expectRefused(exampleInput({ turbine: typicalTurbine(1, changed) }), beginning);
    },
  );

  it('volumetric efficiency measured where burnt gas would fill the cylinder', () => {
    const { engine } = exampleInput();
    const turbine = typicalTurbine(1, { measuredBackPressureRatio: 4 });
    expectRefused(exampleInput({ turbine, engine: { ...engine, compressionRatio: 3 } }), RATIO);
  });

  it.each([Number.NaN, 0, -1])('a limit of %d for p3/p_m or the temperature before the turbine', (limit) => {
    const turbine = typicalTurbine(1);
    expectRefused(exampleInput({ turbine, limits: { backPressureRatio: limit } }), 'Back-pressure ratio limit');
    expectRefused(
      exampleInput({ turbine, limits: { turbineInletTemperatureK: limit } }),
      'Turbine inlet temperature limit',
    );
  });

  it('and the same turbine with everything entered is computed', () => {
    const turbine = typicalTurbine(1, {
      measuredBackPressureRatio: 1.2,
      efficiencyShift: -0.02,
      inletTemperatureShiftK: 20,
    });
    const [point] = solveOperatingLine(exampleInput({ turbine, engineSpeedsRpm: [4000] }));
    expect(point?.status).toBe('ok');
  });
});
