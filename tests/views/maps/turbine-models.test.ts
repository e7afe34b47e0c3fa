import { describe, expect, it } from 'vitest';
import { emptyTurbineSheet, fitTurbineDraft, type MapDraft, mapFitter } from '../../../src/build/index.ts';
import { flowPerKgPerS } from '../../../src/views/maps/editDraft.ts';
import { shelfFacts } from '../../../src/views/maps/MapShelf.tsx';
import { fitSheet } from '../../../src/views/maps/sheetKinds/kinds.ts';
import { setTurbineFlow } from '../../../src/views/maps/sheetKinds/sheetKind.ts';
import { turbineChart, turbineQuality } from '../../../src/views/maps/sheetKinds/turbine.tsx';

/**
 * Isentropic flow through a choking nozzle of 6 cm2, gamma 1.4, from the published tables (NACA Report 1135: A/A* and p/p0 by Mach
 * number): W sqrt(T0)/p0 = A sqrt(gamma/R) M (T0/T)^-3 with R 287.05 J/(kg K); here in kg sqrt(K)/(s kPa).
 */
const NOZZLE: readonly [ratio: number, mach: number][] = [
  // p0/p = 1/0.93947, 1/0.84302, 1/0.73999 (M 0.3, 0.5, 0.67), 1/0.65602, 1/0.52828 (M 0.8, 1).
  [1 / 0.93947, 0.3],
  [1 / 0.84302, 0.5],
  [1 / 0.73999, 0.67],
  [1 / 0.65602, 0.8],
  [1 / 0.52828, 1],
];
const parameter = (mach: number): number =>
  6e-4 * Math.sqrt(1.4 / 287.05) * mach * (1 + 0.2 * mach * mach) ** -3 * 1000;

function draftOf(points: readonly (readonly [number | string, number | string])[], speed = ''): MapDraft {
  return {
    ...emptyTurbineSheet('t'),
    flowParameter: 'kPa',
    speedLines: [
      {
        speed,
        points: points.map(([ratio, flow]) => ({ pressureRatio: String(ratio), flow: String(flow), efficiency: '' })),
      },
    ],
  };
}
const nozzle = draftOf(NOZZLE.map(([ratio, mach]) => [ratio.toFixed(5), parameter(mach).toFixed(7)]));

describe('the chart of a turbine sheet', () => {
  it('has the ratio across and the flow up, its curve through every entered point', () => {
    const fit = fitTurbineDraft(nozzle);
    const chart = turbineChart(nozzle, fit);
    expect(chart.isFlowUp).toBe(true);
    expect(chart.flowAxis).toMatchObject({ title: 'Flow parameter W√T03/p03', unit: 'kg√K/(s·kPa)' });
    expect(chart.ratioAxis.title).toMatch(/^Expansion ratio/);
    const entered = chart.speedLines.find(({ kind }) => kind === 'entered')!;
    for (const [ratio, mach] of NOZZLE) {
      const near = entered.points.reduce((a, b) =>
        Math.abs(b.pressureRatio - ratio) < Math.abs(a.pressureRatio - ratio) ? b : a,
      );
      expect(near.pressureRatio).toBeCloseTo(ratio, 4);
      expect((near.correctedMassFlowKgPerS * chart.flowAxis.perKgPerS) / parameter(mach)).toBeCloseTo(1, 4);
    }
  });

  it('draws what is beyond the entered points as extended, from no flow at a ratio of 1', () => {
    const chart = turbineChart(nozzle, fitTurbineDraft(nozzle));
    const extended = chart.speedLines.filter(({ kind }) => kind === 'extended');
    expect(extended).toHaveLength(2);
    expect(extended[0]!.points[0]).toEqual({ correctedMassFlowKgPerS: 0, pressureRatio: 1 });
    expect(extended[1]!.points.at(-1)!.pressureRatio).toBeGreaterThan(1 / 0.52828);
  });

  it('names lines by the speed that was typed', () => {
    const draft = draftOf(
      [
        [1.5, 0.0118],
        [2, 0.0138],
      ],
      '2000',
    );
    const chart = turbineChart(draft, fitTurbineDraft(draft));
    expect(chart.speedLines.map(({ label }) => label)).toContain('2000');
  });

  it('draws points in their own unit even where nothing can be fitted', () => {
    const { flowParameter: _none, ...corrected } = nozzle;
    const draft: MapDraft = corrected;
    const fit = fitTurbineDraft(draft);
    expect(fit.capacity).toBeNull();
    expect(turbineChart(draft, fit).sheetPoints).toHaveLength(NOZZLE.length);
  });
});

describe('the meaning of flows', () => {
  it('changes no number and keeps the reference state for the way back', () => {
    const reference = { temperature: { text: '15', unit: 'degC' }, pressure: { text: '101.325', unit: 'kPa' } };
    const corrected: MapDraft = { ...emptyTurbineSheet('t'), reference };
    const there = setTurbineFlow(corrected, 'MPa');
    expect(there.flowParameter).toBe('MPa');
    const back = setTurbineFlow(there, 'lb/min');
    expect(back).toEqual({ ...corrected, flowUnit: 'lb/min' });
    expect(back).not.toHaveProperty('flowParameter');
    expect(there.speedLines).toBe(corrected.speedLines);
  });

  it('is drawn by exact factors: 1 bar is 100 kPa, 1 MPa is 10 bar', () => {
    const per = (unit: 'kPa' | 'bar' | 'MPa') => flowPerKgPerS({ ...nozzle, flowParameter: unit });
    expect(per('bar') / per('kPa')).toBeCloseTo(100, 9);
    expect(per('MPa') / per('bar')).toBeCloseTo(10, 9);
  });
});

describe('what is known of the reading', () => {
  it('gives the nozzle that the points were made of', () => {
    const quality = turbineQuality(fitTurbineDraft(nozzle))!;
    expect(quality).toMatchObject({ lines: 1, points: 5, pointsWithEfficiency: 0 });
    expect(quality.expansionRatio.high).toBeCloseTo(1 / 0.52828, 4);
    // 6 cm2 at gamma 1.4, judged by a law of gamma 4/3 whose flow is up to 2 % less.
    expect(quality.law!.areaM2 * 1e4).toBeGreaterThan(5.8);
    expect(quality.law!.areaM2 * 1e4).toBeLessThan(6.4);
    expect(quality.scatter!).toBeLessThan(0.005);
  });

  it('names the one mistyped flow with its place, and not its neighbours', () => {
    const points = nozzle.speedLines[0]!.points;
    const slip = { ...points[2]!, flow: (Number(points[2]!.flow) * 1.12).toFixed(7) };
    const draft: MapDraft = { ...nozzle, speedLines: [{ speed: '', points: points.with(2, slip) }] };
    const doubts = fitSheet(draft, mapFitter).findings.filter(({ severity }) => severity === 'warning');
    expect(doubts.map(({ place }) => place)).toEqual([{ part: 'speed-line', line: 0, point: 2 }]);
    expect(doubts[0]!.message).toMatch(
      /^Line 1, point 3: the flow is \d+\.\d % above .* which has 0\.02\d+ kg√K\/\(s·kPa\) there/,
    );
    expect(fitSheet(nozzle, mapFitter).findings).toEqual([]);
  });

  it('is judged once for the same tables, whatever the name', () => {
    const renamed = { ...nozzle, name: 'Another' };
    expect(fitSheet(renamed, mapFitter)).toBe(fitSheet(nozzle, mapFitter));
  });

  it('says nothing of what a turbine sheet is not asked for', () => {
    const said = fitSheet(nozzle, mapFitter)
      .findings.map(({ message }) => message)
      .join(' ');
    expect(said).not.toMatch(/surge|island|choke|reference|limit|wheel/i);
  });
});

describe('the shelf', () => {
  it('says in words which is which', () => {
    expect(shelfFacts(nozzle, []).kind).toBe('Turbine sheet');
    expect(shelfFacts(nozzle, []).summary).toBe('1 line, 0.0119 to 0.0242 kg√K/(s·kPa)');
    const { kind: _turbine, ...map } = nozzle;
    expect(shelfFacts(map, []).kind).toBe('Compressor map');
  });
});
