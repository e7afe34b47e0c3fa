import { describe, expect, it } from 'vitest';
import { resultUnits } from '../../../src/match/index.ts';
import { backPressureCharts, shutSpans } from '../../../src/views/match/drawer/turbine/BackPressurePanel.tsx';
import {
  maxRatioOf,
  plotCapacity,
  plotEngine,
  shownFlow,
  turbineFlowAxis,
} from '../../../src/views/match/drawer/turbine/TurbinePanel.tsx';
import {
  STANDARD_REFERENCE,
  turbineReadings,
  turbineTableText,
} from '../../../src/views/match/drawer/turbine/turbineSide.ts';
import { drivenSide, exampleCapacity } from './driven-results.ts';
import { solvedExample } from './solved-point.ts';

const units = resultUnits({});
const axis = { unit: 'kg/s', reference: STANDARD_REFERENCE } as const;

describe('the flow of a turbine', () => {
  it('is corrected to the reference: W sqrt(T03/Tref) / (p03/pref), by hand', () => {
    // 0.2 kg/s at 1100 K and 250 kPa: the definition of corrected flow, and the flow parameter by its own, R = 287.05 J/(kg K).
    const flowParameter = (0.2 * Math.sqrt(287.05 * 1100)) / 250_000;
    const corrected = (0.2 * Math.sqrt(1100 / 288.15)) / (250_000 / 101_325);
    expect(shownFlow(flowParameter, axis)).toBeCloseTo(corrected, 9);
    // 1 lb = 0.45359237 kg (international yard and pound agreement, 1959).
    expect(shownFlow(flowParameter, { ...axis, unit: 'lb/min' })).toBeCloseTo((corrected * 60) / 0.45359237, 6);
  });

  it('says on the axis what it is corrected to', () => {
    const { title, unit } = turbineFlowAxis({ ...axis, unit: 'lb/min' });
    expect(title.replaceAll('\u00a0', ' ')).toBe('Flow corrected to 59.0 °F, 29.92 inHg');
    expect(unit).toBe('lb/min');
  });
});

describe('the capacity as it is drawn', () => {
  const drawn = plotCapacity({ letter: 'A', style: 'a' }, { capacity: exampleCapacity() }, axis, 3.5, 0, true);
  const [curve] = drawn.curves;

  it('is the capacity itself at every sampled ratio', () => {
    for (const { expansionRatio, flow } of curve!.points) {
      expect(flow).toBeCloseTo(shownFlow(exampleCapacity().flowParameter(expansionRatio, 200), axis), 12);
    }
    expect(curve!.points[0]!.expansionRatio).toBe(1);
    expect(curve!.points.at(-1)!.expansionRatio).toBe(3.5);
  });

  it('changes from entered to extended at the entered ends, and chokes where the capacity says', () => {
    const entered = curve!.points.filter(({ extended }) => !extended).map(({ expansionRatio }) => expansionRatio);
    expect([entered[0], entered.at(-1)]).toEqual([1.5, 3]);
    expect(curve!.chokesAt!.expansionRatio).toBeGreaterThanOrEqual(2.5);
    expect(curve!.chokesAt!.expansionRatio).toBeLessThan(2.502);
    expect(drawn.entered).toHaveLength(3);
    expect(drawn.band).toBeNull();
  });

  it('has the band of an estimate on both sides', () => {
    const capacity = exampleCapacity({ from: 'estimate', band: 0.15, lines: [{ reducedSpeed: null, points: [] }] });
    const { band, entered } = plotCapacity({ letter: 'A', style: 'a' }, { capacity }, axis, 3, 190, true);
    expect(entered).toEqual([]);
    expect(band!.label.replaceAll('\u00a0', ' ')).toBe('estimate ±15 %');
    const { low, high } = band!.points.at(-1)!;
    expect(high / low).toBeCloseTo(1.15 / 0.85, 9);
  });

  it('is that of both entries where the sheet is of one', () => {
    const both = plotCapacity(
      { letter: 'A', style: 'a' },
      { capacity: exampleCapacity(), capacityFactor: 2 },
      axis,
      3.5,
      0,
      true,
    );
    expect(both.curves[0]!.points.at(-1)!.flow).toBeCloseTo(2 * curve!.points.at(-1)!.flow, 12);
    expect(both.entered[0]!.flow).toBeCloseTo(2 * drawn.entered[0]!.flow, 12);
  });

  it('stands on an axis that moves in steps only', () => {
    expect(maxRatioOf([drivenSide('A')])).toBe(3.25);
    expect(maxRatioOf([])).toBe(2.25);
  });
});

describe('the engine on its turbine', () => {
  it('has the whole exhaust above it by the share of the gate', () => {
    const { points } = plotEngine(drivenSide('A'), axis);
    expect(points.map((point) => 1 - point!.flow / point!.wholeExhaust)).toEqual([
      expect.closeTo(0, 9),
      expect.closeTo(0, 9),
      expect.closeTo(0.1, 9),
      expect.closeTo(0.2, 9),
    ]);
  });
});

describe('the charts over engine speed', () => {
  it('show p3, p_m, p4 and ambient of one candidate, in the unit of results', () => {
    const [pressures] = backPressureCharts(
      [drivenSide('A')],
      resultUnits({ resultUnits: { pressure: 'bar' } }),
      95_000,
    );
    expect(pressures!.model.series.map(({ name }) => name)).toEqual(['p3', 'p_m', 'p4', 'ambient']);
    expect(pressures!.model.valueAxis.unit).toBe('bar');
    expect(pressures!.model.series[0]!.points[1]).toEqual({ x: 2500, value: 2 });
    expect(pressures!.model.series[3]!.points[0]!.value).toBeCloseTo(0.95, 9);
  });

  it('show both candidates of two, each in its own dash, and name whose each line is', () => {
    const [pressures, ratio, gate] = backPressureCharts([drivenSide('A'), drivenSide('B', 3)], units, null);
    expect(pressures!.model.series.map(({ name, style }) => `${name} ${style}`)).toEqual([
      'A p3 a',
      'A p_m a',
      'B p3 b',
      'B p_m b',
    ]);
    expect(ratio!.model.series.map(({ name }) => name)).toEqual(['A', 'B']);
    expect(ratio!.model.limits).toEqual([{ label: 'limit 1.20', value: 1.2, severity: 'stop' }]);
    expect(gate!.model.spans!.map(({ label }) => label)).toEqual(['A gate shut', 'B gate shut']);
  });

  it('hatch the stretch where the gate is shut, half a step beyond its last engine speed', () => {
    expect(shutSpans(drivenSide('A'), true)).toEqual([
      { id: 'A-0', style: 'a', from: 2000, to: 2750, label: 'gate shut' },
    ]);
    expect(shutSpans(drivenSide('A', 0), true)).toEqual([]);
    expect(shutSpans(drivenSide('A', 4), true)[0]).toMatchObject({ from: 2000, to: 3500 });
  });
});

describe('the read-out of the turbine', () => {
  const plain = (texts: Readonly<Record<string, string>>) =>
    Object.fromEntries(Object.entries(texts).map(([key, text]) => [key, text.replaceAll('\u00a0', ' ')]));

  it('says what holds the boost, and never that all of the goal is reached where it is not', () => {
    const [first, , third] = drivenSide('A').results.points;
    expect(plain(turbineReadings(first!, units))).toEqual({
      turbineInletPressurePa: '180 kPa',
      backPressureRatio: '0.90',
      expansionRatio: '1.40',
      wastegateShare: 'shut',
      'turbine.inletTemperatureK': '850 °C',
      held: 'the turbine, at 99.9 % of the goal',
    });
    expect(plain(turbineReadings(third!, units))).toMatchObject({
      wastegateShare: '10.0 %',
      held: 'the gate, at the goal',
    });
  });

  it('has dashes without a turbine, and the reason where there is no point', () => {
    expect(new Set(Object.values(turbineReadings(solvedExample(), units)))).toEqual(new Set(['–']));
    const missing = {
      engineSpeedRpm: 2000,
      status: 'turbine-too-weak',
      message: 'The exhaust drives no boost.',
    } as const;
    expect(turbineReadings(missing, units).held).toBe('The exhaust drives no boost.');
  });
});

describe('the copied table', () => {
  it('has a row an engine speed and candidate, units in the headings', () => {
    const rows = turbineTableText([drivenSide('A'), drivenSide('B')], units).split('\n');
    expect(rows[0]).toBe(
      'Candidate\tEngine speed [rpm]\tp3 absolute [kPa]\tp4 absolute [kPa]\tp_m absolute [kPa]\tp3/p_m ratio [-]\tExpansion ratio [-]\tWastegate flow fraction [%]\tGate area needed, effective [mm²]\tGate opening needed [%]\tTurbine inlet temperature [°C]\tFlow through the turbine [kg/s]\tHeld by',
    );
    expect(rows[1]).toBe('A\t2000\t180.0\t105.0\t200.0\t0.900\t1.400\t0.00\t0.0\t\t850.0\t0.0500\tturbine');
    expect(rows).toHaveLength(10);
  });
});
