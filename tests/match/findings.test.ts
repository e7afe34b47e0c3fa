import { describe, expect, it } from 'vitest';
import { type Finding, findings, type MatchInput, solveOperatingLine } from '../../src/match/index.ts';
import { analyticSurface } from './analytic-surface.ts';
import { exampleInput, GRAM_PER_KWH } from './example-input.ts';

const constant = (value: number) => [{ engineSpeedRpm: 3000, value }];
const SPEEDS = [3500, 4000, 4500, 5000, 5500, 6000, 6500, 7000];
/** Well within everything. */
const CALM: Partial<MatchInput> = {
  goal: { kind: 'gauge-boost', curve: constant(80_000) },
  engineSpeedsRpm: SPEEDS,
  engine: { ...exampleInput().engine, displacementM3: 2.2e-3 },
};

function found(changes: Partial<MatchInput>): Finding[] {
  const input = exampleInput({ ...CALM, ...changes });
  return findings(solveOperatingLine(input), input);
}

function only(list: readonly Finding[], code: string): Finding {
  const hits = list.filter((entry) => entry.code === code);
  expect(hits.map((hit) => hit.code)).toEqual([code]);
  return hits[0]!;
}

const codes = (list: readonly Finding[]) => list.map((entry) => entry.code);

describe('findings', () => {
  it('of a calm line: it holds, with its least margins, then its peaks', () => {
    const list = found({});
    expect(list[0]).toMatchObject({ severity: 'good', code: 'within-limits', rangeRpm: [3500, 7000] });
    expect(list[0]!.values.points).toBe(8);
    expect(list[0]!.values.surgeMargin).toBeGreaterThan(0.1);
    expect(codes(list)).toEqual(expect.arrayContaining(['peak-power', 'peak-torque', 'peak-shaft-speed']));
    expect(list.some((entry) => entry.severity === 'stop' || entry.severity === 'caution')).toBe(false);
  });

  it('overspeed stands first, at its worst engine speed, over its range, with limit and margin', () => {
    const list = found({ limits: { shaftSpeedRpm: 105_000, surgeMargin: 0.9 } });
    const first = list[0]!;
    expect(first).toMatchObject({ severity: 'stop', code: 'overspeed', engineSpeedRpm: 7000 });
    expect(first.values.margin).toBeCloseTo(1 - first.values.shaftSpeedRpm! / 105_000, 12);
    expect(first.values.margin).toBeLessThan(0);
    expect(first.rangeRpm?.[0]).toBeGreaterThan(3500);
    expect(codes(list)).not.toContain('within-limits');
  });

  it('tells the reserve from the limit', () => {
    const fastest = only(found({}), 'peak-shaft-speed').values.shaftSpeedRpm!;
    const within = only(found({ limits: { shaftSpeedRpm: fastest * 1.01, shaftSpeedReserve: 0.02 } }), 'speed-reserve');
    expect(within).toMatchObject({ severity: 'caution', engineSpeedRpm: 7000 });
    expect(codes(found({ limits: { shaftSpeedRpm: fastest * 1.03, shaftSpeedReserve: 0.02 } }))).not.toContain(
      'speed-reserve',
    );
  });

  it('says that nothing can be said about overspeed without a limit, and then nothing is good', () => {
    const list = found({ compressor: { ...analyticSurface(), limits: {} }, limits: {} });
    expect(only(list, 'no-speed-limit').severity).toBe('note');
    expect(codes(list)).not.toContain('within-limits');
  });

  it('left of surge, then a thin margin, are two findings over two ranges', () => {
    const list = found({
      goal: { kind: 'gauge-boost', curve: constant(110_000) },
      engineSpeedsRpm: [2750, 3000, 3250, 4000],
      limits: { surgeMargin: 0.12 },
    });
    const left = only(list, 'left-of-surge');
    expect(left).toMatchObject({ severity: 'stop', engineSpeedRpm: 2750 });
    expect(left.values.surgeMargin).toBeLessThan(0);
    const thin = only(list, 'surge-margin');
    expect(thin.severity).toBe('caution');
    expect(thin.values.surgeMargin).toBeGreaterThanOrEqual(0);
    expect(thin.values.surgeMargin).toBeLessThan(0.12);
    expect(thin.rangeRpm![0]).toBeGreaterThan(left.rangeRpm![1]);
  });

  it('choke: past the end stops, close to it cautions', () => {
    const engine = { ...exampleInput().engine, displacementM3: 3.9e-3 };
    const list = found({
      engine,
      limits: { chokeMargin: 0.08 },
      engineSpeedsRpm: Array.from({ length: 40 }, (_, i) => 3000 + 100 * i),
    });
    expect(only(list, 'choked').values.chokeMargin).toBeLessThan(0);
    expect(only(list, 'choke-margin').values.chokeMargin).toBeLessThan(0.08);
    const lost = only(list, 'no-point-right-of-map');
    expect(lost.severity).toBe('stop');
    expect(lost.values.correctedMassFlowKgPerS).toBeGreaterThan(0.2);
  });

  it('groups engine speeds without a point by reason and neighbourhood', () => {
    const list = found({
      goal: { kind: 'gauge-boost', curve: constant(150_000) },
      engineSpeedsRpm: [1000, 1250, 1500, 4000, 4500],
    });
    const lost = only(list, 'no-point-left-of-map');
    expect(lost).toMatchObject({ severity: 'stop', rangeRpm: [1000, 1500] });
    expect(lost.values.points).toBe(3);
  });

  it('a goal that the engine reaches by itself is a note, not a stop', () => {
    const list = found({ goal: { kind: 'gauge-boost', curve: constant(-30_000) } });
    expect(only(list, 'no-point-no-compression')).toMatchObject({ severity: 'note', rangeRpm: [3500, 7000] });
  });

  it.each([
    ['outlet-temperature', { compressorOutletTemperatureK: 360 }, 'temperatureK', 'limitK'],
    ['manifold-pressure', { manifoldPressurePa: 170_000 }, 'pressurePa', 'limitPa'],
    ['brake-power', { brakePowerW: 120_000 }, 'powerW', 'limitW'],
    ['torque', { torqueNm: 150 }, 'torqueNm', 'limitNm'],
  ] as const)('%s over its limit stops the match', (code, limits, value, limit) => {
    const finding = only(found({ limits }), code);
    expect(finding.severity).toBe('stop');
    expect(finding.values[value]).toBeGreaterThan(finding.values[limit]!);
  });

  it('a goal exactly at the manifold limit is within it', () => {
    const goal = { kind: 'manifold-pressure', curve: constant(181_325) } as const;
    expect(codes(found({ goal, limits: { manifoldPressurePa: 181_325 } }))).not.toContain('manifold-pressure');
  });

  it('fuel supply: duty over the limit, over 1, pressure gone, pump short, and gas that it does not cover', () => {
    const supply = {
      injectorCount: 4,
      injectorFlowM3PerS: 700e-6 / 60,
      injectorRatedPressurePa: 3e5,
      railPressurePa: 3e5,
      railReference: 'manifold',
      dutyLimit: 0.5,
      pumpFlowM3PerS: 1e-5,
    } as const;
    const withSupply = (change: object, fuel: 'petrol' | 'natural-gas' = 'petrol') =>
      found({
        engine: { ...exampleInput().engine, displacementM3: 2.2e-3, fuel, fuelSupply: { ...supply, ...change } },
      });
    expect(only(withSupply({}), 'injector-duty').severity).toBe('caution');
    expect(only(withSupply({}), 'pump-flow').severity).toBe('stop');
    expect(only(withSupply({ injectorFlowM3PerS: 4e-6 }), 'injector-duty').severity).toBe('stop');
    expect(only(withSupply({ railReference: 'ambient', railPressurePa: 70_000 }), 'injector-pressure').severity).toBe(
      'stop',
    );
    expect(codes(withSupply({}, 'natural-gas'))).toContain('fuel-supply-not-checked');
    // What is needed, fitted: nothing more to say; nothing chosen: only what is needed.
    const needed = only(withSupply({}), 'fuel-needed').values;
    const fitted = {
      injectorFlowM3PerS: needed.injectorFlowM3PerS! * (1 + 1e-12),
      pumpFlowM3PerS: needed.pumpFlowM3PerS!,
    };
    for (const enough of [fitted, { injectorFlowM3PerS: undefined, pumpFlowM3PerS: undefined }]) {
      expect(codes(withSupply(enough))).not.toContain('injector-duty');
      expect(codes(withSupply(enough))).not.toContain('pump-flow');
      expect(only(withSupply(enough), 'fuel-needed').values).toEqual(needed);
    }
  });

  it('says where the map was extended: above the top line cautions, below the lowest only notes', () => {
    const above = found({
      goal: { kind: 'gauge-boost', curve: constant(215_000) },
      engineSpeedsRpm: [5000, 5500],
      limits: { shaftSpeedRpm: 200_000 },
    });
    expect(only(above, 'map-extended-above').severity).toBe('caution');
    const below = found({ goal: { kind: 'gauge-boost', curve: constant(3000) }, engineSpeedsRpm: [2000] });
    expect(only(below, 'map-extended-below').severity).toBe('note');
  });

  it('an assumed efficiency is always said', () => {
    const list = found({ compressor: analyticSurface(undefined, false), assumedEfficiency: 0.7 });
    expect(only(list, 'efficiency-assumed')).toMatchObject({ severity: 'caution', values: { efficiency: 0.7 } });
  });

  it('curves used outside their points, below and above', () => {
    const list = found({ engineSpeedsRpm: [1800, 3500, 7500], goal: { kind: 'gauge-boost', curve: constant(20_000) } });
    const held = list.filter((entry) => entry.code === 'curve-held-volumetric-efficiency');
    expect(held.map((entry) => [entry.engineSpeedRpm, entry.values.value])).toEqual([
      [1800, 0.85],
      [7500, 0.9],
    ]);
    expect(codes(list)).not.toContain('curve-held-lambda');
  });

  it('a bsfc that no engine reaches is doubted (its unit is the usual slip)', () => {
    const engine = {
      ...exampleInput().engine,
      displacementM3: 2.2e-3,
      bsfcKgPerJ: constant(0.31 * GRAM_PER_KWH * 400),
    };
    expect(only(found({ engine }), 'bsfc-implausible').values.thermalEfficiency).toBeGreaterThan(0.5);
  });

  it('water in the cooler of a humid day with a cold coolant', () => {
    const chargePath = {
      ...exampleInput().chargePath,
      cooler: { kind: 'cooler', effectiveness: 0.95, coolantTemperatureK: 285 },
    } as const;
    const humid = { pressurePa: 101325, temperatureK: 303.15, vapourMoleFraction: 0.035 };
    expect(only(found({ chargePath, ambient: humid }), 'water-condenses').values.dewPointRatio).toBeGreaterThan(1);
    expect(codes(found({ chargePath, ambient: { ...humid, vapourMoleFraction: 0.002 } }))).not.toContain(
      'water-condenses',
    );
  });

  it('an impossible input is the only thing said', () => {
    const list = found({ ambient: { pressurePa: Number.NaN, temperatureK: 293, vapourMoleFraction: 0 } });
    expect(codes(list)).toEqual(['no-point-bad-input']);
  });

  it('of no points at all are none', () => {
    expect(findings([], exampleInput())).toEqual([]);
  });
});
