import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { auditDraft, axisPoint, emptyMap, emptyTracing, fitDraft, type MapDraft } from '../../../../src/build/index.ts';
import { insertionRow } from '../../../../src/reading/index.ts';
import { readAxes, tracingOf } from '../../../../src/views/maps/trace/axes.ts';
import {
  placeAxisPoint,
  setAxisPoints,
  setMode,
  setPicture,
  setProvenance,
} from '../../../../src/views/maps/trace/setPicture.ts';
import {
  panned,
  type StageView,
  stageMatrix,
  toPicture,
  toStage,
  wholePicture,
  zoomedAt,
} from '../../../../src/views/maps/trace/stage/stageView.ts';
import {
  acceptProposal,
  addPoint,
  deletePoint,
  movePoint,
  placedRows,
  placeReading,
  setAxes,
} from '../../../../src/views/maps/trace/tracePoints.ts';

const STAGE = { width: 900, height: 700 };
const PICTURE = { width: 4000, height: 3000 };

const views = fc.record({
  centre: fc.record({
    x: fc.double({ min: 0, max: 4000, noNaN: true }),
    y: fc.double({ min: 0, max: 3000, noNaN: true }),
  }),
  scale: fc.double({ min: 0.05, max: 30, noNaN: true }),
  turn: fc.double({ min: -4, max: 4, noNaN: true }),
});
const places = fc.record({
  x: fc.double({ min: 0, max: 4000, noNaN: true }),
  y: fc.double({ min: 0, max: 3000, noNaN: true }),
});

describe('how the picture lies on the stage', () => {
  it('leads to the picture and back, and its matrix says the same', () => {
    fc.assert(
      fc.property(views, places, (view, place) => {
        const at = toStage(view, STAGE, place);
        const back = toPicture(view, STAGE, at);
        expect(back.x).toBeCloseTo(place.x, 6);
        expect(back.y).toBeCloseTo(place.y, 6);
        const [a, b, c, d, e, f] = stageMatrix(view, STAGE);
        expect(a * place.x + c * place.y + e).toBeCloseTo(at.left, 5);
        expect(b * place.x + d * place.y + f).toBeCloseTo(at.top, 5);
      }),
    );
  });

  it('holds the place under the pointer while zooming, where the picture can be moved so far', () => {
    const view: StageView = { centre: { x: 2000, y: 1500 }, scale: 0.5, turn: 0.3 };
    const at = { left: 300, top: 250 };
    const zoomed = zoomedAt(view, PICTURE, STAGE, at, 2);
    expect(toPicture(zoomed, STAGE, at).x).toBeCloseTo(toPicture(view, STAGE, at).x, 6);
    expect(toPicture(zoomed, STAGE, at).y).toBeCloseTo(toPicture(view, STAGE, at).y, 6);
  });

  it('shows the whole picture, turned or not, and never lets it be pushed off', () => {
    for (const turn of [0, Math.PI / 2, 0.05]) {
      const view = wholePicture(PICTURE, STAGE, turn);
      for (const x of [0, 4000])
        for (const y of [0, 3000]) {
          const { left, top } = toStage(view, STAGE, { x, y });
          expect(left).toBeGreaterThanOrEqual(0);
          expect(left).toBeLessThanOrEqual(STAGE.width);
          expect(top).toBeGreaterThanOrEqual(0);
          expect(top).toBeLessThanOrEqual(STAGE.height);
        }
    }
    const away = panned(wholePicture(PICTURE, STAGE, 0), PICTURE, 1e6, -1e6);
    expect(away.centre).toEqual({ x: 0, y: 3000 });
  });
});

describe('where a new point belongs', () => {
  const line = [0, 10, 20, 30].map((x, row) => ({ row, place: { x, y: x / 2 } }));
  it('goes between its neighbours, before the first, behind the last', () => {
    expect(insertionRow(line, { x: 14, y: 8 }, 4, false)).toBe(2);
    expect(insertionRow(line, { x: -6, y: -4 }, 4, false)).toBe(0);
    expect(insertionRow(line, { x: 37, y: 17 }, 4, false)).toBe(4);
    expect(insertionRow([], { x: 1, y: 1 }, 0, false)).toBe(0);
  });

  it('keeps the order of clicks along any arc, open or closed', () => {
    for (const closed of [false, true]) {
      const placed: { row: number; place: { x: number; y: number } }[] = [];
      for (let i = 0; i < 22; i++) {
        const angle = (i / 22) * 2 * Math.PI * (closed ? 1 : 0.7);
        const at = { x: 500 + 300 * Math.cos(angle), y: 400 + 150 * Math.sin(angle) };
        expect(insertionRow(placed, at, placed.length, closed)).toBe(placed.length);
        placed.push({ row: i, place: at });
      }
    }
  });
});

/** A straight scan: 1,000 px for 0.5 kg/s from x = 100, 800 px for PR 1 to 5 from y = 900 upwards. */
function calibrated(): MapDraft {
  const opened = setPicture(
    emptyMap('m'),
    { id: 'p', name: 'scan.png', width: 1200, height: 1000, kept: true },
    '2026-01-02',
  );
  const point = (on: 'flow-axis' | 'ratio-axis', x: number, y: number, value: string) => ({
    ...axisPoint(on),
    x: String(x),
    y: String(y),
    ...(on === 'flow-axis' ? { flow: value } : { pressureRatio: value }),
  });
  return setAxes(opened, {
    mode: 'axes',
    points: [
      point('flow-axis', 100, 900, '0'),
      point('flow-axis', 1100, 900, '0,5'),
      point('ratio-axis', 100, 900, '1'),
      point('ratio-axis', 100, 100, '5'),
    ],
  });
}
const LINE = { kind: 'speed-line', line: 0 } as const;
const cells = (draft: MapDraft) => draft.speedLines[0]!.points.map((p) => [p.flow, p.pressureRatio]);

describe('tracing into the cells', () => {
  it('calibrates with a corner that serves both axes', () => {
    const { calibration, problems } = readAxes(calibrated());
    expect(problems).toEqual([]);
    expect(calibration?.toData({ x: 600, y: 500 })?.flow).toBeCloseTo(0.25, 9);
    expect(calibration?.toData({ x: 600, y: 500 })?.pressureRatio).toBeCloseTo(3, 9);
  });

  it('writes what is read as text with digits for a quarter of a pixel, in place of the empty row', () => {
    // 0.5 kg/s over 1,000 px: a quarter of a pixel is 0.000125, PR 4 over 800 px: 0.00125. By hand.
    const draft = addPoint(calibrated(), LINE, { x: 600, y: 500 }).draft;
    expect(cells(draft)).toEqual([['0.2500', '3.000']]);
  });

  it('moves, inserts and deletes, and leaves the efficiency beside a moved point', () => {
    let draft = addPoint(calibrated(), LINE, { x: 600, y: 500 }).draft;
    draft = addPoint(draft, LINE, { x: 800, y: 600 }).draft;
    draft = addPoint(draft, LINE, { x: 700, y: 550 }).draft;
    expect(cells(draft).map(([flow]) => flow)).toEqual(['0.2500', '0.3000', '0.3500']);
    draft = placeReading(draft, { x: 701, y: 551 }, 8, '74');
    expect(draft.speedLines[0]!.points[1]!.efficiency).toBe('74');
    draft = movePoint(draft, { target: LINE, row: 1 }, { x: 702, y: 552 });
    expect(draft.speedLines[0]!.points[1]).toEqual({ flow: '0.3010', pressureRatio: '2.740', efficiency: '74' });
    draft = deletePoint(draft, { target: LINE, row: 0 });
    expect(cells(draft).map(([flow]) => flow)).toEqual(['0.3010', '0.3500']);
  });

  it('keeps traced points on the picture when the axes are mended, and typed cells as they were typed', () => {
    const traced = addPoint(calibrated(), LINE, { x: 600, y: 500 }).draft;
    const typed: MapDraft = {
      ...traced,
      speedLines: traced.speedLines.map((l) => ({
        ...l,
        points: [...l.points, { flow: '0,31', pressureRatio: '2.9', efficiency: '' }],
      })),
    };
    const before = placedRows(typed, LINE);
    // The far end of the flow axis was really 0.6.
    const points = tracingOf(typed).axes.points.with(1, { ...tracingOf(typed).axes.points[1]!, flow: '0.6' });
    const mended = setAxisPoints(typed, points);
    expect(cells(mended)).toEqual([
      ['0.3000', '3.000'],
      ['0,31', '2.9'],
    ]);
    expect(placedRows(mended, LINE)[0]?.place).toEqual(before[0]?.place);
  });

  it('reads nothing while the axes are incomplete, and reads on when they stand again', () => {
    const traced = addPoint(calibrated(), LINE, { x: 600, y: 500 }).draft;
    const { points } = tracingOf(traced).axes;
    const broken = setAxisPoints(traced, points.with(1, { ...points[1]!, flow: 'x' }));
    expect(cells(broken)).toEqual(cells(traced));
    expect(addPoint(broken, LINE, { x: 800, y: 600 }).row).toBeNull();
    const again = setAxisPoints(broken, points.with(1, { ...points[1]!, flow: '0.4' }));
    expect(cells(again)).toEqual([['0.2000', '3.000']]);
  });

  it('takes a followed line from surge to choke, whichever way it was followed, and adds only what is new to one that stands', () => {
    const found = [900, 700, 500].map((x) => ({ x, y: 400 + x / 10 }));
    const fresh = acceptProposal(calibrated(), { target: LINE, places: found });
    expect(cells(fresh).map(([flow]) => flow)).toEqual(['0.2000', '0.3000', '0.4000']);
    const added = acceptProposal(fresh, {
      target: LINE,
      places: [
        { x: 701, y: 470 },
        { x: 800, y: 480 },
      ],
    });
    expect(cells(added).map(([flow]) => flow)).toEqual(['0.2000', '0.3000', '0.3500', '0.4000']);
  });

  it('reads no flow below zero and nothing left of the axis', () => {
    expect(addPoint(calibrated(), LINE, { x: 99, y: 500 }).draft.speedLines[0]!.points[0]!.flow).toBe('0.0000');
    expect(addPoint(calibrated(), LINE, { x: 50, y: 500 }).row).toBeNull();
  });
});

describe('picture, axes and provenance of a map', () => {
  it('begins anew with another picture, goes on with the same one opened again', () => {
    const traced = addPoint(calibrated(), LINE, { x: 600, y: 500 }).draft;
    const again = setPicture(
      traced,
      { id: 'q', name: 'scan.png', width: 1200, height: 1000, kept: true },
      '2026-02-03',
    );
    expect(tracingOf(again).marks).toHaveLength(1);
    const other = setPicture(
      traced,
      { id: 'r', name: 'photo.jpg', width: 800, height: 1000, kept: true },
      '2026-02-03',
    );
    expect(tracingOf(other).axes).toEqual(emptyTracing.axes);
    expect(cells(other)).toEqual(cells(traced));
  });

  it('asks for four grid points of a photo, and keeps grid points that stand', () => {
    const photo = setMode(calibrated(), 'grid');
    expect(tracingOf(photo).axes.points).toHaveLength(4);
    const placed = placeAxisPoint(photo, 0, { x: 10.004, y: 20 });
    expect(tracingOf(placed).axes.points[0]).toMatchObject({ on: 'grid', x: '10', y: '20' });
  });

  it('writes the source line from its fields, unless somebody typed another', () => {
    const draft = setProvenance(calibrated(), { readBy: 'R. Bench' });
    expect(draft.source).toBe('read by R. Bench, from scan.png, 2026-01-02');
    expect(setProvenance({ ...draft, source: 'my own words' }, { readBy: 'x' }).source).toBe('my own words');
  });

  it('fits percent speeds by the design speed, and says what is missing without one', () => {
    const line = (speed: string, flows: readonly number[], top: number) => ({
      speed,
      points: flows.map((f, i) => ({ flow: String(f), pressureRatio: String(top - 0.08 * i * i), efficiency: '' })),
    });
    const draft: MapDraft = {
      ...emptyMap('m'),
      reference: { temperature: { text: '298.15', unit: 'K' }, pressure: { text: '100', unit: 'kPa' } },
      speedLines: [line('80 %', [0.1, 0.13, 0.16], 1.9), line('100%', [0.14, 0.18, 0.21], 2.6)],
    };
    expect(
      auditDraft(draft)
        .map((f) => f.message)
        .join(),
    ).toMatch(/in percent; it is left out. Enter the design speed/);
    const habits = {
      designSpeed: { text: '150 000', unit: 'rpm' },
      outletPressure: 'total',
      outletDiameter: { text: '', unit: 'mm' },
    } as const;
    expect(fitDraft({ ...draft, habits }).sheet?.speedLines.map((l) => l.speedRpm)).toEqual([120000, 150000]);
  });
});
