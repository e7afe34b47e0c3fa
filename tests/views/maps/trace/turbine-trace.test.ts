import { describe, expect, it } from 'vitest';
import { type AxisPoint, emptyTurbineSheet, fitTurbineDraft, type MapDraft } from '../../../../src/build/index.ts';
import { drawingReference } from '../../../../src/views/maps/editDraft.ts';
import { pointName, readAxes, shortName, tracingOf } from '../../../../src/views/maps/trace/axes.ts';
import { setMode } from '../../../../src/views/maps/trace/setPicture.ts';
import { traceLines } from '../../../../src/views/maps/trace/stageMarks.ts';
import {
  acceptProposal,
  addPoint,
  allTargets,
  setAxes,
  targetName,
} from '../../../../src/views/maps/trace/tracePoints.ts';

/** Expansion ratio 1 to 3 on x 100 to 1100, flow 0 to 0.02 on y 900 to 100. */
const placeOf = (ratio: number, flow: number) => ({ x: 100 + (ratio - 1) * 500, y: 900 - flow * 40_000 });
const VALUES: readonly [AxisPoint['on'], number, number][] = [
  ['ratio-axis', 1, 0],
  ['ratio-axis', 3, 0],
  ['flow-axis', 1, 0.005],
  ['flow-axis', 1, 0.02],
];

function calibrated(): MapDraft {
  const draft: MapDraft = { ...emptyTurbineSheet('t'), flowParameter: 'kPa' };
  const { axes } = tracingOf(draft);
  const points = VALUES.map(([on, ratio, flow]): AxisPoint => {
    const { x, y } = placeOf(ratio, flow);
    const isRatio = on === 'ratio-axis';
    return {
      on,
      x: String(x),
      y: String(y),
      flow: isRatio ? '' : String(flow),
      pressureRatio: isRatio ? String(ratio) : '',
    };
  });
  return setAxes(draft, { ...axes, points });
}
const LINE = { kind: 'speed-line', line: 0 } as const;

describe('tracing a turbine sheet', () => {
  it('begins with the axis of the expansion ratio, which runs across, and names its points so', () => {
    const { axes } = tracingOf(emptyTurbineSheet('t'));
    expect(axes.points.map(({ on }) => on)).toEqual(['ratio-axis', 'ratio-axis', 'flow-axis', 'flow-axis']);
    expect(pointName(axes, 1, 'turbine')).toBe('Expansion-ratio axis 2 (ER2)');
    expect(shortName(axes, 2, 'turbine')).toBe('F1');
    const { problems } = readAxes({ ...emptyTurbineSheet('t'), tracing: tracingOf(emptyTurbineSheet('t')) });
    expect(problems[0]?.message).toBe('Expansion-ratio axis 1 (ER1): click its place on the picture');
    const photo = setMode(setMode(emptyTurbineSheet('t'), 'grid'), 'axes');
    expect(tracingOf(photo).axes.points.map(({ on }) => on)).toEqual(axes.points.map(({ on }) => on));
  });

  it('reads a click as expansion ratio and flow, with the decimals that a pixel is worth', () => {
    const { x, y } = placeOf(1.85, 0.0123);
    const { draft } = addPoint(calibrated(), LINE, { x, y });
    // A pixel is 0.002 of ratio and 0.000025 of flow; the last digit is a quarter of it at most.
    expect(draft.speedLines[0]!.points).toEqual([{ flow: '0.012300', pressureRatio: '1.8500', efficiency: '' }]);
  });

  it('takes a followed stroke in rising expansion ratio, whichever way it was found', () => {
    const places = [1.4, 1.8, 2.4].map((ratio) => placeOf(ratio, 0.01 + 0.001 * ratio));
    for (const found of [places, places.toReversed()]) {
      const draft = acceptProposal(calibrated(), { target: LINE, places: found });
      expect(draft.speedLines[0]!.points.map((p) => Number(p.pressureRatio))).toEqual([1.4, 1.8, 2.4]);
    }
  });

  it('offers lines alone, which need no speed', () => {
    const draft = calibrated();
    expect(allTargets(draft)).toEqual([LINE]);
    expect(targetName(draft, LINE)).toBe('line 1');
    const named = { ...draft, speedLines: [{ ...draft.speedLines[0]!, speed: '2000' }] };
    expect(targetName(named, LINE)).toBe('the 2000 rpm/√K line');
  });

  it('reads traced points anew when an axis is mended', () => {
    const traced = addPoint(calibrated(), LINE, placeOf(2, 0.01)).draft;
    const { axes } = tracingOf(traced);
    const mended = setAxes(traced, {
      ...axes,
      points: axes.points.with(1, { ...axes.points[1]!, pressureRatio: '5' }),
    });
    expect(Number(mended.speedLines[0]!.points[0]!.pressureRatio)).toBeCloseTo(3, 3);
    expect(Number(mended.speedLines[0]!.points[0]!.flow)).toBeCloseTo(0.01, 5);
  });

  it('lays the fitted curve over the picture through the traced points', () => {
    const points = [1.3, 1.7, 2.2, 2.8].map((ratio) => placeOf(ratio, 0.0158 * Math.sqrt(1 - ratio ** -2)));
    const draft = points.reduce((d, place) => addPoint(d, LINE, place).draft, calibrated());
    const { calibration } = readAxes(draft);
    const fit = { kind: 'turbine', ...fitTurbineDraft(draft) } as const;
    const lines = traceLines(draft, fit, calibration!, { current: LINE, withFit: true });
    expect(lines.map(({ look }) => look)).toEqual(['current']);
    for (const point of points) {
      const off = Math.min(...lines[0]!.places.map(({ x, y }) => Math.hypot(x - point.x, y - point.y)));
      expect(off).toBeLessThan(0.1);
    }
    // Without the fit: from point to point.
    expect(traceLines(draft, fit, calibration!, { current: null, withFit: false })[0]!.places).toHaveLength(4);
  });

  it('shows each line as it was read beside the one curve, while one of several has no speed', () => {
    const lines = [0.0158, 0.015].map((constant, i) => ({
      speed: i === 0 ? '2000' : '',
      points: [1.5, 2, 2.5].map((ratio) => ({
        pressureRatio: String(ratio),
        flow: (constant * Math.sqrt(1 - ratio ** -2)).toFixed(6),
        efficiency: '',
      })),
    }));
    const draft: MapDraft = { ...calibrated(), speedLines: lines };
    const { calibration } = readAxes(draft);
    const looks = (of: MapDraft) => {
      const fit = { kind: 'turbine', ...fitTurbineDraft(of) } as const;
      return traceLines(of, fit, calibration!, { current: { kind: 'speed-line', line: 1 }, withFit: true }).map(
        ({ look }) => look,
      );
    };
    expect(looks(draft)).toEqual(['other', 'current', 'fitted']);
    const named = { ...draft, speedLines: lines.with(1, { ...lines[1]!, speed: '3000' }) };
    expect(looks(named)).toEqual(['fitted', 'current']);
  });

  it('draws a flow parameter whatever stands in the reference fields', () => {
    const draft: MapDraft = {
      ...calibrated(),
      reference: { temperature: { text: '999', unit: 'K' }, pressure: { text: '1', unit: 'kPa' } },
    };
    expect(drawingReference(draft)).toEqual(drawingReference(calibrated()));
  });
});
