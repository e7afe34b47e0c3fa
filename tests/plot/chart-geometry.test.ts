import { zoomIdentity } from 'd3';
import { describe, expect, it } from 'vitest';
import { mapFrame, mapStage } from '../../src/plot/charts/map-drawing.ts';
import { toPixel, zoomedScales } from '../../src/plot/charts/map-model.ts';
import { boxesOverlap, cornersOf, type LabelBox, type PlotSize } from '../../src/plot/frame/pixels.ts';
import { chartGeometry, heavyLines } from '../../src/plot/marks/map-surface.ts';
import { operatingGeometry } from '../../src/plot/marks/operating-line.ts';
import { inventedChart, inventedLine, inventedModel } from './invented-map.ts';

const SIZES: PlotSize[] = [
  { width: 700, height: 560 },
  { width: 460, height: 420 },
  { width: 1200, height: 900 },
];

function geometryOf(size: PlotSize, model = inventedModel(), zoom = zoomIdentity) {
  const scales = mapStage(model, size, mapFrame(model, size), zoom);
  const { xTicks, yTicks } = scales;
  const chart = { ...chartGeometry(model.chart, scales), xTicks, yTicks };
  const lines = operatingGeometry(model.operatingLines, scales, {
    taken: chart.labels.map((label) => label.box),
    softLines: heavyLines(model.chart, scales),
  });
  const labels = [...chart.labels, ...lines.flatMap((line) => line.labels)];
  return { scales, chart, lines, labels };
}

function overlapping(boxes: readonly LabelBox[]): number {
  let count = 0;
  boxes.forEach((a, i) => {
    for (const b of boxes.slice(i + 1)) if (boxesOverlap(a, b)) count++;
  });
  return count;
}

describe('labels of the map', () => {
  for (const size of SIZES) {
    for (const lineCount of [2, 8, 9, 20]) {
      it(`never overlap nor leave the frame: ${lineCount} lines at ${size.width} x ${size.height}`, () => {
        const { labels, scales } = geometryOf(size, inventedModel({ chart: inventedChart(lineCount) }));
        expect(overlapping(labels.map((label) => label.box))).toBe(0);
        const { left, right, top, bottom } = scales.frame;
        for (const corner of labels.flatMap((label) => cornersOf(label.box))) {
          expect(corner.x).toBeGreaterThanOrEqual(left);
          expect(corner.x).toBeLessThanOrEqual(right);
          expect(corner.y).toBeGreaterThanOrEqual(top);
          expect(corner.y).toBeLessThanOrEqual(bottom);
        }
      });
    }
  }

  it('never overlap with every engine speed marked and two operating lines on top of each other', () => {
    const points = inventedLine(1, 1.5).map((point) => ({ ...point, marked: true }));
    const { labels, lines } = geometryOf(
      { width: 460, height: 420 },
      inventedModel({
        operatingLines: [
          { id: 'a', name: 'A', style: 'a', points },
          { id: 'b', name: 'B', style: 'b', points },
        ],
      }),
    );
    expect(lines[0]!.labels.length).toBeGreaterThan(3);
    expect(overlapping(labels.map((label) => label.box))).toBe(0);
  });

  it('never overlap while zoomed and panned', () => {
    for (const k of [1.5, 3, 8, 20]) {
      for (const [x, y] of [
        [0, 0],
        [-200 * (k - 1), -150 * (k - 1)],
        [-500 * (k - 1), -300 * (k - 1)],
      ] as const) {
        const { labels } = geometryOf(SIZES[0]!, inventedModel(), zoomIdentity.translate(x, y).scale(k));
        expect(overlapping(labels.map((label) => label.box))).toBe(0);
      }
    }
  });

  it('are all there on an ordinary sheet of 8 lines at 700 x 560', () => {
    const { chart } = geometryOf(SIZES[0]!);
    const roles = (role: string) => chart.labels.filter((label) => label.role === role).map((label) => label.text);
    expect(roles('speed')).toHaveLength(8);
    expect(roles('island').sort()).toEqual(['60 %', '68 %', '72 %', '76 %']);
    expect(roles('surge')).toEqual(['surge line']);
    expect(roles('choke')).toEqual(['choke end']);
    expect(roles('rated')).toEqual(['rated speed 172\u202f000 rpm']);
  });
});

describe('geometry of the map', () => {
  it('puts the points where the scales say and joins them by straight segments', () => {
    const model = inventedModel();
    const { chart, scales } = geometryOf(SIZES[0]!, model);
    const { left, right, top, bottom } = scales.frame;
    const [flow0, flow1] = scales.x.domain() as [number, number];
    const [ratio0, ratio1] = scales.y.domain() as [number, number];
    const first = model.chart.speedLines[3]!.points[0]!;
    const x = left + ((first.correctedMassFlowKgPerS - flow0) / (flow1 - flow0)) * (right - left);
    const y = bottom - ((first.pressureRatio - ratio0) / (ratio1 - ratio0)) * (bottom - top);
    const d = chart.speedLines[3]!.d;
    expect(d).toMatch(/^M[-\d.,]+(L[-\d.,]+){39}$/);
    const [dx, dy] = d.slice(1).split('L')[0]!.split(',').map(Number) as [number, number];
    expect(dx).toBeCloseTo(x, 0);
    expect(dy).toBeCloseTo(y, 0);
  });

  it('fills closed islands only', () => {
    const { chart } = geometryOf(SIZES[0]!);
    // Sorted by efficiency: the open 60 % contour comes first.
    expect(chart.islands.map((one) => one.fill !== '')).toEqual([false, true, true, true]);
    expect(chart.islands.map((one) => one.share)).toEqual([0, 0.5, 0.75, 1].map((share) => expect.closeTo(share, 10)));
  });

  it('changes ticks, not lines, with the axis unit', () => {
    const inPounds = inventedModel();
    const chart = { ...inPounds.chart, flowAxis: { title: 'Corrected air flow', unit: 'lb/min', perKgPerS: 132.2774 } };
    const metric = geometryOf(SIZES[0]!);
    const pounds = geometryOf(SIZES[0]!, { ...inPounds, chart });
    expect(pounds.chart.speedLines).toEqual(metric.chart.speedLines);
    // 1 kg/s = 2.204622... lb/s x 60 (international pound, exact 0.45359237 kg).
    const ten = pounds.chart.xTicks.find((tick) => tick.text === '10')!;
    expect(ten.at).toBeCloseTo(pounds.scales.x((10 * 0.45359237) / 60), 3);
    expect(metric.chart.xTicks.map((tick) => tick.text)).toContain('0.10');
  });

  it('breaks a line at a point that is missing', () => {
    const model = inventedModel();
    const lines = model.chart.speedLines.map((line, index) =>
      index === 2
        ? { ...line, points: line.points.with(10, { correctedMassFlowKgPerS: Number.NaN, pressureRatio: 1.5 }) }
        : line,
    );
    const { chart } = geometryOf(SIZES[0]!, { ...model, chart: { ...model.chart, speedLines: lines } });
    expect(chart.speedLines[2]!.d.match(/M/g)).toHaveLength(2);
    expect(chart.speedLines[2]!.d.match(/L/g)).toHaveLength(37);
  });

  it('draws axes even for a sheet without anything on it', () => {
    const empty = inventedChart(0, {
      extent: { minFlowKgPerS: 0, maxFlowKgPerS: 0, minPressureRatio: 1, maxPressureRatio: Number.NaN },
      surgeLine: [],
      chokeEnd: [],
      islands: [],
      ratedSpeedLine: null,
    });
    const { chart } = geometryOf(SIZES[0]!, inventedModel({ chart: empty, operatingLines: [] }));
    expect(chart.xTicks.length).toBeGreaterThan(2);
    expect(chart.yTicks.length).toBeGreaterThan(2);
    expect(JSON.stringify(chart)).not.toMatch(/NaN|null/);
  });
});

describe('zoom', () => {
  it('keeps the data under the pointer', () => {
    const { base } = mapFrame(inventedModel(), SIZES[0]!);
    const at = { x: 333, y: 222 };
    const before = { flow: base.x.invert(at.x), ratio: base.y.invert(at.y) };
    for (const k of [1.2, 2, 7, 25]) {
      const zoomed = zoomedScales(base, zoomIdentity.translate(at.x * (1 - k), at.y * (1 - k)).scale(k));
      const pixel = toPixel(zoomed, { correctedMassFlowKgPerS: before.flow, pressureRatio: before.ratio });
      expect(pixel.x).toBeCloseTo(at.x, 6);
      expect(pixel.y).toBeCloseTo(at.y, 6);
      expect(zoomed.x.domain()[1]! - zoomed.x.domain()[0]!).toBeCloseTo(
        (base.x.domain()[1]! - base.x.domain()[0]!) / k,
        12,
      );
    }
  });
});
