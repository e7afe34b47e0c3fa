import { describe, expect, it } from 'vitest';
import { fitCapacity } from '../../src/turbine/index.ts';
import { criticalExpansionRatio, nozzleFlowParameter } from '../../src/turbine/laws.ts';
import type { TurbineSheet } from '../../src/turbine/types.ts';
import { fitted, M2_PER_KG_PER_S, REDUCED_PER_RPM, REFERENCE, sheetOf } from './sheets.ts';

const GAMMA = 4 / 3;
const point = (expansionRatio: number, flow: number, efficiency?: number) => ({ expansionRatio, flow, efficiency });

describe('a sheet of a single nozzle', () => {
  // 4 cm2 that sees all of the expansion: exponent 1.
  const ratios = [1.1, 1.25, 1.4, 1.6, 1.8, 2.2];
  const { capacity } = fitted(
    sheetOf([{ points: ratios.map((er) => point(er, (4e-4 * nozzleFlowParameter(er, GAMMA)) / M2_PER_KG_PER_S)) }]),
  );

  it('is found again: area, exponent, flow everywhere', () => {
    expect(capacity.law?.areaM2).toBeCloseTo(4e-4, 6);
    expect(capacity.law?.exponent).toBeGreaterThan(0.98);
    for (const er of [1.02, 1.15, 1.5, 1.7, 3, 9]) {
      expect(Math.abs(capacity.flowParameter(er, 100) / (4e-4 * nozzleFlowParameter(er, GAMMA)) - 1)).toBeLessThan(
        0.004,
      );
    }
  });

  it('is choked from the critical ratio on, and not before', () => {
    const critical = criticalExpansionRatio(GAMMA);
    expect(capacity.isChoked(critical * 1.06, 0)).toBe(true);
    expect(capacity.isChoked(critical * 0.95, 0)).toBe(false);
    expect(capacity.flowParameter(50, 0)).toBe(capacity.flowParameter(3, 0));
  });

  it('says where it is extended', () => {
    expect([1.05, 1.1, 1.7, 2.2, 2.3].map((er) => capacity.isExtended(er, 100))).toEqual([
      true,
      false,
      false,
      false,
      true,
    ]);
  });

  it('passes nothing without expansion', () => {
    expect(capacity.flowParameter(1, 100)).toBe(0);
    expect(capacity.flowParameter(0.8, 100)).toBe(0);
    expect(capacity.flowParameter(1 + 1e-12, 100)).toBeGreaterThan(0);
  });

  it('gives no efficiency where the sheet has none', () => {
    expect(capacity.efficiency(1.5, 100)).toBeNull();
  });
});

describe('few points', () => {
  it('one is enough, and said so: the curve passes through it', () => {
    const { capacity, notes } = fitted(sheetOf([{ points: [point(2, 0.12, 0.68)] }]));
    expect(capacity.flowParameter(2, 0)).toBeCloseTo(0.12 * M2_PER_KG_PER_S, 12);
    expect(capacity.law?.exponent).toBeCloseTo(0.6, 2);
    expect(notes).toHaveLength(1);
    expect(notes[0]).toMatch(/one point/);
    expect(capacity.efficiency(3, 50)).toBe(0.68);
  });

  it('one for each speed is no curve for each: they share one law', () => {
    const lines = [
      [40_000, 1.3, 0.08],
      [60_000, 1.7, 0.105],
      [80_000, 2.3, 0.115],
    ].map(([speedRpm, er, flow]) => ({ speedRpm, points: [point(er!, flow!)] }));
    const { capacity } = fitted(sheetOf(lines));
    lines.forEach(({ speedRpm, points }) => {
      const { expansionRatio, flow } = points[0]!;
      const found = capacity.flowParameter(expansionRatio, speedRpm! * REDUCED_PER_RPM);
      expect(found / (flow * M2_PER_KG_PER_S)).toBeCloseTo(1, 9);
    });
  });
});

describe('lines', () => {
  const line = (speedRpm: number | undefined, factor: number) => ({
    ...(speedRpm === undefined ? {} : { speedRpm }),
    points: [1.3, 1.6, 2, 2.5].map((er) =>
      point(er, factor * nozzleFlowParameter(er ** 0.6, GAMMA), 0.6 + 0.1 * factor),
    ),
  });

  it('are told apart by speed, in any order, and blended between', () => {
    const { capacity, notes } = fitted(sheetOf([line(90_000, 0.17), line(50_000, 0.2)]));
    expect(notes).toEqual([]);
    expect(capacity.lines.map(({ reducedSpeed }) => Math.round(reducedSpeed! / REDUCED_PER_RPM))).toEqual([
      50_000, 90_000,
    ]);
    const at = (rpm: number) => capacity.flowParameter(2, rpm * REDUCED_PER_RPM);
    expect(at(50_000)).toBeGreaterThan(at(70_000));
    expect(at(70_000)).toBeGreaterThan(at(90_000));
    expect(capacity.isExtended(2, 40_000 * REDUCED_PER_RPM)).toBe(true);
    expect(capacity.isExtended(2, 70_000 * REDUCED_PER_RPM)).toBe(false);
  });

  it('without speed are one curve', () => {
    const { capacity, notes } = fitted(sheetOf([line(undefined, 0.2), line(undefined, 0.2)]));
    expect(notes).toEqual([]);
    expect(capacity.lines).toHaveLength(1);
    expect(capacity.flowParameter(2, 10)).toBe(capacity.flowParameter(2, 500));
    expect(capacity.isExtended(2, 1e6)).toBe(false);
  });

  it('of which some have no speed are one curve too, which is said', () => {
    const { capacity, notes } = fitted(sheetOf([line(50_000, 0.2), line(undefined, 0.19), line(90_000, 0.18)]));
    expect(capacity.lines).toHaveLength(1);
    expect(capacity.lines[0]?.points).toHaveLength(12);
    expect(notes).toEqual([
      '1 of 3 lines has no speed, so all points are taken as one curve. Enter the missing speeds to tell the lines apart.',
    ]);
  });

  it('of the same speed are taken together, which is said', () => {
    const { capacity, notes } = fitted(sheetOf([line(50_000, 0.2), line(50_000, 0.2), line(90_000, 0.18)]));
    expect(capacity.lines).toHaveLength(2);
    expect(notes).toEqual(['Line 50000 rpm stands 2 times on the sheet: its points are taken together.']);
  });

  it('without points are passed over', () => {
    const { capacity } = fitted(sheetOf([line(50_000, 0.2), { speedRpm: 60_000, points: [] }]));
    expect(capacity.lines).toHaveLength(1);
  });

  it('hold the efficiency of their ends beyond them, and give the entered ones at the points', () => {
    const { capacity } = fitted(sheetOf([line(50_000, 0.2), line(90_000, 0.1)]));
    expect(capacity.efficiency(2, 50_000 * REDUCED_PER_RPM)).toBeCloseTo(0.62, 12);
    expect(capacity.efficiency(2, 90_000 * REDUCED_PER_RPM)).toBeCloseTo(0.61, 12);
    expect(capacity.efficiency(2, 70_000 * REDUCED_PER_RPM)).toBeCloseTo(0.615, 12);
    expect(capacity.efficiency(9, 20_000 * REDUCED_PER_RPM)).toBeCloseTo(0.62, 12);
    expect(capacity.efficiency(1, 70_000 * REDUCED_PER_RPM)).toBeCloseTo(0.615, 12);
  });
});

describe('flow that falls', () => {
  const falling = (share: number) =>
    sheetOf([
      {
        speedRpm: 60_000,
        points: [point(1.4, 0.1), point(1.8, 0.12), point(2.2, 0.12 * (1 - share)), point(2.6, 0.121)],
      },
    ]);

  it('is levelled without a word where it is the reading', () => {
    const { capacity, notes } = fitted(falling(0.004));
    expect(notes).toEqual([]);
    expect(capacity.flowParameter(1.8, 200)).toBeCloseTo(0.12 * (1 - 0.002) * M2_PER_KG_PER_S, 9);
    expect(capacity.flowParameter(2.2, 200)).toBeCloseTo(0.12 * (1 - 0.002) * M2_PER_KG_PER_S, 9);
  });

  it('is levelled and said where it is more than 1 %', () => {
    const { notes } = fitted(falling(0.03));
    expect(notes).toHaveLength(1);
    expect(notes[0]).toMatch(/Line 60000 rpm: at expansion ratio 2.2 the flow is 3.0 % less/);
  });
});

describe('the same turbine in other units', () => {
  const points = [1.3, 1.7, 2.2].map((er, i) => ({
    er,
    kgPerS: [0.085, 0.11, 0.118][i]!,
    efficiency: [0.6, 0.7, 0.65][i]!,
  }));
  const speed = 70_000;
  const corrected = fitted(
    sheetOf([{ speedRpm: speed, points: points.map((p) => point(p.er, p.kgPerS, p.efficiency)) }]),
  ).capacity;
  const others: [string, TurbineSheet['flow'], number, number][] = [
    [
      'lb/min at 288.15 K and 101.325 kPa',
      { kind: 'corrected', unit: 'lb/min', reference: REFERENCE },
      60 / 0.45359237,
      1,
    ],
    [
      'kg/s at 298.15 K and 100 kPa',
      { kind: 'corrected', unit: 'kg/s', reference: { temperatureK: 298.15, pressurePa: 1e5 } },
      (1e5 / 101_325) * Math.sqrt(288.15 / 298.15),
      Math.sqrt(298.15 / 288.15),
    ],
    [
      'kg sqrt(K)/(s MPa)',
      { kind: 'parameter', pressureUnit: 'MPa' },
      Math.sqrt(288.15) / 0.101325,
      1 / Math.sqrt(288.15),
    ],
    [
      'kg sqrt(K)/(s bar)',
      { kind: 'parameter', pressureUnit: 'bar' },
      Math.sqrt(288.15) / 1.01325,
      1 / Math.sqrt(288.15),
    ],
    [
      'kg sqrt(K)/(s kPa)',
      { kind: 'parameter', pressureUnit: 'kPa' },
      Math.sqrt(288.15) / 101.325,
      1 / Math.sqrt(288.15),
    ],
  ];

  it.each(others)('%s has the same capacity', (_name, flow, flowFactor, speedFactor) => {
    const typed = points.map((p) => point(p.er, p.kgPerS * flowFactor, p.efficiency));
    const { capacity } = fitted(sheetOf([{ speedRpm: speed * speedFactor, points: typed }], { flow }));
    expect(capacity.lines[0]!.reducedSpeed! / corrected.lines[0]!.reducedSpeed! - 1).toBeCloseTo(0, 12);
    for (const er of [1.1, 1.5, 2, 3]) {
      expect(Math.abs(capacity.flowParameter(er, 240) / corrected.flowParameter(er, 240) - 1)).toBeLessThan(1e-9);
      expect(capacity.efficiency(er, 240)).toBeCloseTo(corrected.efficiency(er, 240)!, 9);
    }
  });

  it('by hand: 0.11 kg/s at 288.15 K and 101.325 kPa is 0.11 x 287.603 / 101325 = 3.1222e-4 m2', () => {
    expect(Math.abs(corrected.flowParameter(1.7, 240) - 3.1222e-4)).toBeLessThan(5e-9);
  });
});

describe('what cannot be fitted', () => {
  const problems = (sheet: TurbineSheet) => {
    const fit = fitCapacity(sheet);
    return fit.ok ? [] : fit.problems;
  };

  it.each([
    ['no points', sheetOf([{ speedRpm: 50_000, points: [] }]), 'lines', /no point/],
    [
      'expansion ratio of 1',
      sheetOf([{ points: [point(1, 0.1)] }]),
      'lines[0].points[0].expansionRatio',
      /not above 1/,
    ],
    [
      'missing ratio',
      sheetOf([{ points: [point(Number.NaN, 0.1)] }]),
      'lines[0].points[0].expansionRatio',
      /not a number/,
    ],
    ['negative flow', sheetOf([{ points: [point(2, -0.1)] }]), 'lines[0].points[0].flow', /not above zero/],
    ['missing flow', sheetOf([{ points: [point(2, Number.NaN)] }]), 'lines[0].points[0].flow', /not a number/],
    ['percent', sheetOf([{ points: [point(2, 0.1, 68)] }]), 'lines[0].points[0].efficiency', /0\.68 is probably meant/],
    [
      'efficiency of 1.2',
      sheetOf([{ points: [point(2, 0.1, 1.2)] }]),
      'lines[0].points[0].efficiency',
      /not between 0 and 1/,
    ],
    ['speed of 0', sheetOf([{ speedRpm: 0, points: [point(2, 0.1)] }]), 'lines[0].speedRpm', /not above zero/],
    ['two flows', sheetOf([{ points: [point(2, 0.1), point(2, 0.12)] }]), 'lines[0].points[1].flow', /points 1 and 2/],
    [
      'no reference',
      sheetOf([{ points: [point(2, 0.1)] }], {
        flow: { kind: 'corrected', unit: 'kg/s', reference: { temperatureK: Number.NaN, pressurePa: 101_325 } },
      }),
      'flow.reference.temperatureK',
      /missing/,
    ],
    [
      'reference pressure in kPa',
      sheetOf([{ points: [point(2, 0.1)] }], {
        flow: { kind: 'corrected', unit: 'kg/s', reference: { temperatureK: 288.15, pressurePa: 101.325 } },
      }),
      'flow.reference.pressurePa',
      /no sheet uses/,
    ],
  ] as const)('%s is said with its place', (_name, sheet, path, message) => {
    const found = problems(sheet);
    expect(found).toHaveLength(1);
    expect(found[0]).toMatchObject({ path, message: expect.stringMatching(message) });
  });

  it('two readings of one point that agree within 1 % are averaged', () => {
    const { capacity } = fitted(sheetOf([{ points: [point(2, 0.1), point(2, 0.1008)] }]));
    expect(capacity.flowParameter(2, 0)).toBeCloseTo(0.1004 * M2_PER_KG_PER_S, 12);
  });

  it('a parameter sheet needs no reference state', () => {
    expect(
      problems(sheetOf([{ points: [point(2, 0.02)] }], { flow: { kind: 'parameter', pressureUnit: 'kPa' } })),
    ).toEqual([]);
  });
});
