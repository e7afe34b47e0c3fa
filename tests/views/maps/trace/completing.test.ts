import { describe, expect, it } from 'vitest';
import {
  axisPoint,
  draftToSheet,
  emptyMap,
  emptyTracing,
  type MapDraft,
  sheetToDraft,
} from '../../../../src/build/index.ts';
import { ratiosOf } from '../../../../src/views/maps/trace/axes.ts';
import { applySheet, completions, setHabits } from '../../../../src/views/maps/trace/completing.ts';
import { addPoint, placedRows, setAxes } from '../../../../src/views/maps/trace/tracePoints.ts';
import { MACHINES } from '../../../machines/analytic-compressor.ts';
import { KILOGRAMS, meanLine, readSheet } from '../../../machines/read-sheet.ts';

const REFERENCE = { temperature: { text: '298.15', unit: 'K' }, pressure: { text: '100', unit: 'kPa' } };
const machine = meanLine(MACHINES[2]!);
const whole = (): MapDraft => ({ ...sheetToDraft(readSheet(machine, KILOGRAMS), 'm'), efficiencyUnit: '1' });
const sheetOf = (draft: MapDraft) => {
  const read = draftToSheet(draft);
  if (!read.ok) throw new Error(JSON.stringify(read.problems));
  return read.sheet;
};

/** 1,000 px for 0.5 kg/s, 800 px for PR 1 to 5; one point at 0.25 kg/s and a printed 3.000. */
function traced(): MapDraft {
  const at = (on: 'flow-axis' | 'ratio-axis', x: string, y: string, value: string) => ({
    ...axisPoint(on),
    x,
    y,
    ...(on === 'flow-axis' ? { flow: value } : { pressureRatio: value }),
  });
  const points = [
    at('flow-axis', '100', '900', '0'),
    at('flow-axis', '1100', '900', '0.5'),
    at('ratio-axis', '100', '900', '1'),
    at('ratio-axis', '100', '100', '5'),
  ];
  const draft = setAxes({ ...emptyMap('m'), reference: REFERENCE, tracing: emptyTracing }, { mode: 'axes', points });
  return addPoint(draft, { kind: 'speed-line', line: 0 }, { x: 600, y: 500 }).draft;
}

describe('a sheet with static outlet pressure', () => {
  const habits = { outletPressure: 'static', outletDiameter: { text: '50', unit: 'mm' } } as const;

  it('has its traced points corrected to total as soon as the outlet is known, and back again', () => {
    const corrected = setHabits(traced(), habits);
    // By hand: T02 = 298.15 (1 + (3^0.2857 - 1)/0.7) = 455.2 K; A = 1.9635e-3 m2; M2 = 0.0168; p02/p2 = (1 + 0.2 M2)^3.5 = 1.0118.
    expect(Number(corrected.speedLines[0]!.points[0]!.pressureRatio)).toBeCloseTo(3.035, 2);
    expect(placedRows(corrected, { kind: 'speed-line', line: 0 })[0]?.place).toEqual({ x: 600, y: 500 });
    expect(setHabits(corrected, { outletPressure: 'total' }).speedLines).toEqual(traced().speedLines);
  });

  it('shows totals where they are printed: the way back is the inverse', () => {
    const ratios = ratiosOf(setHabits(traced(), habits));
    for (const flow of [0.05, 0.2, 0.4])
      for (const printed of [1.2, 2, 3.5]) {
        const total = ratios.toTotal(flow, printed);
        expect(total).toBeGreaterThan(printed);
        expect(ratios.toPrinted(flow, total!)).toBeCloseTo(printed, 8);
      }
  });

  it('has typed tables corrected once, by a step that says so', () => {
    const typed = setHabits(whole(), habits);
    const step = completions(typed).find((c) => c.key === 'static');
    const done = step!.apply(typed);
    const [before, after] = [sheetOf(typed), sheetOf(done)];
    for (const [i, line] of after.speedLines.entries())
      for (const [k, p] of line.points.entries())
        expect(p.pressureRatio).toBeGreaterThan(before.speedLines[i]!.points[k]!.pressureRatio);
    expect(done.habits?.outletPressure).toBe('total');
    expect(done.assumed?.join(' ')).toMatch(/Static outlet pressure was turned into total/);
    expect(completions(done).some((c) => c.key === 'static')).toBe(false);
  });
});

describe('what a sheet leaves out', () => {
  it('lines without a label get a proposed speed near their own, by one step', () => {
    const draft = whole();
    const lost = { ...draft, speedLines: draft.speedLines.map((l, i) => (i === 4 ? { ...l, speed: '' } : l)) };
    const step = completions(lost).find((c) => c.key === 'speeds');
    const done = step!.apply(lost);
    expect(Number(done.speedLines[4]!.speed) / Number(draft.speedLines[4]!.speed)).toBeCloseTo(1, 1);
    expect(done.assumed?.[0]).toMatch(/proposed/);
  });

  it('single readings go to the line that passes there', () => {
    const draft = whole();
    const bare = {
      ...draft,
      speedLines: draft.speedLines.map((l) => ({ ...l, points: l.points.map((p) => ({ ...p, efficiency: '' })) })),
    };
    const { flow, pressureRatio } = draft.speedLines[3]!.points[4]!;
    const read = { ...bare, efficiencyReadings: [{ flow, pressureRatio, efficiency: '0.71' }] };
    const done = completions(read)
      .find((c) => c.key === 'readings')!
      .apply(read);
    expect(done.speedLines[3]!.points[4]).toEqual({ flow, pressureRatio, efficiency: '0.71' });
    expect(done.efficiencyReadings).toEqual([]);
  });

  it('an island whose ends stand apart is offered as open', () => {
    const arc = [0, 1, 2, 3, 4, 5].map((k) => ({
      flow: String(0.1 + 0.02 * k),
      pressureRatio: String(1.8 + 0.1 * Math.sin(k)),
    }));
    const draft = { ...whole(), islands: [{ efficiency: '0.7', closed: true, points: arc }] };
    const step = completions(draft).find((c) => c.key === 'island 0');
    expect(step?.action).toBe('Mark it as open');
    expect(step!.apply(draft).islands[0]!.closed).toBe(false);
  });
});

describe('a repaired sheet back in the tables', () => {
  it('keeps the texts of numbers that did not change, so that marks still know their cells', () => {
    const draft = { ...whole(), efficiencyUnit: '1' as const };
    const own = {
      ...draft,
      speedLines: draft.speedLines.map((l) => ({
        ...l,
        points: l.points.map((p) => ({ ...p, flow: Number(p.flow).toFixed(5) })),
      })),
    };
    const before = sheetOf(own);
    const after = { ...before, speedLines: before.speedLines.toReversed() };
    const done = applySheet(own, before, after);
    expect(done.speedLines).toEqual(own.speedLines.toReversed());
    expect(done.surgeLine).toBe(own.surgeLine);
  });
});
