// @vitest-environment jsdom
import { describe, expect, it } from 'vitest';
import { mapFrame } from '../../src/plot/charts/map-drawing.ts';
import { boxesOverlap } from '../../src/plot/frame/pixels.ts';
import {
  createMapPlot,
  exportMapSvg,
  type MapPlotModel,
  type PlotOperatingLine,
  printPalette,
} from '../../src/plot/index.ts';
import { operatingGeometry } from '../../src/plot/marks/operating-line.ts';
import { inventedChart, inventedLine, inventedModel } from './invented-map.ts';

const SIZE = { width: 700, height: 560 };
const { base } = mapFrame(inventedModel(), SIZE);

/** Turbine-limited up to a third, over a limit from two thirds on. */
function partedLine(
  id: 'a' | 'b',
  flow: number,
  boost: number,
  over: Partial<PlotOperatingLine> = {},
): PlotOperatingLine {
  const points = inventedLine(flow, boost, 61).map((point, i) => ({
    ...point,
    // As many marks as a map has.
    marked: i % 8 === 0,
    part: i < 20 ? ('turbine' as const) : i > 40 ? ('ceiling' as const) : undefined,
  }));
  return {
    id,
    name: id === 'a' ? 'A: Larch' : 'B: Rowan',
    style: id,
    letter: id.toUpperCase(),
    driven: true,
    points,
    ...over,
  };
}

function svgOf(model: MapPlotModel): SVGSVGElement {
  const svg = document.createElementNS('http://www.w3.org/2000/svg', 'svg') as SVGSVGElement;
  createMapPlot(svg, printPalette, {}, SIZE).update(model);
  return svg;
}

const ends = (d: string) => [...d.matchAll(/M([\d.]+),|L([\d.]+),[\d.]+(?=M|$)/g)].map(([, m, l]) => Number(m ?? l));

describe('parts of an operating line', () => {
  it('share the line without a gap and without lying on each other', () => {
    const [line] = operatingGeometry([partedLine('a', 1, 1.5)], base);
    const [hollowFrom, hollowTo] = ends(line!.hollow);
    const [lineFrom, lineTo] = ends(line!.line);
    const { points } = partedLine('a', 1, 1.5);
    expect(hollowFrom).toBeCloseTo(base.x(points[0]!.correctedMassFlowKgPerS), 0);
    expect(hollowTo).toBe(lineFrom);
    expect(lineTo).toBeCloseTo(base.x(points.at(-1)!.correctedMassFlowKgPerS), 0);
    // The change lies between the two engine speeds that it happened between.
    expect(hollowTo!).toBeGreaterThan(base.x(points[19]!.correctedMassFlowKgPerS));
    expect(hollowTo!).toBeLessThan(base.x(points[20]!.correctedMassFlowKgPerS));
  });

  it('have ticks where a limit is crossed, on that part only and on no marker', () => {
    const [line] = operatingGeometry([partedLine('a', 1, 1.5)], base);
    const { points } = partedLine('a', 1, 1.5);
    const ticks = [...line!.ticks.matchAll(/M([\d.]+),([\d.]+)L([\d.]+),([\d.]+)/g)].map((tick) => {
      const [x0, y0, x1, y1] = tick.slice(1).map(Number) as [number, number, number, number];
      return { x: (x0 + x1) / 2, y: (y0 + y1) / 2 };
    });
    expect(ticks.length).toBeGreaterThan(4);
    for (const tick of ticks) {
      expect(tick.x).toBeGreaterThan(base.x(points[40]!.correctedMassFlowKgPerS) - 0.2);
      for (const marker of line!.markers) expect(Math.hypot(marker.x - tick.x, marker.y - tick.y)).toBeGreaterThan(6);
    }
  });

  it('stay dotted where they are extended, each in its own way', () => {
    const parted = partedLine('a', 1, 1.5);
    const points = parted.points.map((point, i) => point && { ...point, extended: i < 10 || i > 50 });
    const [line] = operatingGeometry([{ ...parted, points }], base);
    for (const path of [line!.line, line!.extendedLine, line!.hollow, line!.hollowExtended]) expect(path).not.toBe('');
  });

  it('are named beside the line: no name on a mark, on another name or on an engine speed', () => {
    for (const boost of [0.9, 1.2, 1.5, 1.8]) {
      const lines = operatingGeometry([partedLine('a', 1, boost), partedLine('b', 1.03, boost * 0.9)], base);
      const labels = lines.flatMap((line) => line.labels);
      const markers = lines.flatMap((line) => line.markers);
      expect(labels.filter(({ text }) => text.endsWith('limited')).length, `boost ${boost}`).toBeGreaterThan(2);
      labels.forEach((label, i) => {
        for (const other of labels.slice(i + 1)) expect(boxesOverlap(label.box, other.box)).toBe(false);
        for (const { x, y } of markers) {
          expect(boxesOverlap(label.box, { x, y, width: 8, height: 8, angle: 0 })).toBe(false);
        }
      });
    }
  });

  it('say whose they are where two lines share the plot, and only there', () => {
    const names = (lines: PlotOperatingLine[]) =>
      operatingGeometry(lines, base)
        .flatMap((line) => line.labels.map(({ text }) => text))
        .filter((text) => text.endsWith('limited'));
    expect(names([partedLine('a', 1, 1.5)])).toEqual(['turbine-limited', 'ceiling-limited']);
    expect(names([partedLine('a', 1, 1.5), partedLine('b', 1.03, 1.1)])).toContain('B turbine-limited');
  });

  it('keep the dash of their candidate in black and white: hollow for A, hollow dashes for B', () => {
    for (const [id, dash] of [
      ['a', null],
      ['b', '9 4'],
    ] as const) {
      const model = inventedModel({ operatingLines: [partedLine(id, 1, 1.5)] });
      const paths = [...svgOf(model).querySelectorAll('g.operating-lines path')];
      const { hollow } = operatingGeometry(model.operatingLines, base)[0]!;
      expect(hollow).not.toBe('');
      const wide = paths.filter((path) => Number(path.getAttribute('stroke-width')) === 5.4);
      expect(wide).toHaveLength(1);
      expect(wide[0]!.getAttribute('stroke-dasharray')).toBe(dash);
      const core = paths.indexOf(wide[0]!) + 1;
      expect(paths[core]!.getAttribute('stroke')).toBe(printPalette.paper);
      expect(paths[core]!.getAttribute('d')).toBe(wide[0]!.getAttribute('d'));
    }
  });

  it('are explained in the legend by what is there, which takes the same room on screen when it is not', () => {
    const model = inventedModel({ operatingLines: [partedLine('a', 1, 1.5)] });
    const texts = (svg: SVGSVGElement) =>
      [...svg.querySelectorAll('g.legend text')].map((text) => text.textContent).join();
    expect(texts(svgOf(model))).toContain('Turbine-limited');
    expect(texts(svgOf(model))).not.toContain('Ceiling-limited');
    expect(texts(svgOf(inventedModel()))).not.toContain('limited');
    // The gate opens: the words go, the frame stays.
    const parted = partedLine('a', 1, 1.5);
    const whole = parted.points.map((point) => {
      const { part: _, ...rest } = point!;
      return rest;
    });
    const held = { ...parted, points: whole };
    const open = inventedModel({ operatingLines: [held] });
    expect(texts(svgOf(open))).not.toContain('Turbine-limited');
    expect(mapFrame(open, SIZE).base.frame).toEqual(mapFrame(model, SIZE).base.frame);
    const sheet = { size: SIZE, palette: printPalette, title: 'T', description: '', provenance: '', caution: '' };
    const file = exportMapSvg(model, sheet);
    expect(file).toContain('Turbine-limited: gate shut');
    expect(file).toContain('Ceiling-limited: over a limit at the goal');
    expect(file).toContain('>turbine-limited<');
  });

  it('leave the frame of the screen where it is when a part comes or goes', () => {
    const chart = inventedChart();
    const frameOf = (line: PlotOperatingLine) =>
      mapFrame(inventedModel({ chart, operatingLines: [line] }), SIZE).base.frame;
    const plain = partedLine('a', 1, 1.5, { points: inventedLine(1, 1.5, 61) });
    expect(frameOf(partedLine('a', 1, 1.5))).toEqual(frameOf(plain));
  });
});
