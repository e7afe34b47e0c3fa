// @vitest-environment jsdom
import { describe, expect, it, vi } from 'vitest';
import { turbineAxes } from '../../src/plot/charts/turbine.tsx';
import { axesKey } from '../../src/plot/frame/axes.ts';
import { liveChart, painterOf } from '../../src/plot/frame/live.ts';
import { boxesOverlap, cornersOf } from '../../src/plot/frame/pixels.ts';
import {
  exportSvg,
  lightPalette,
  printPalette,
  TURBINE_KIND,
  type TurbineChartHandlers,
  type TurbineChartModel,
} from '../../src/plot/index.ts';
import { inventedCapacity, inventedEngine, inventedTurbine } from './invented-turbine.ts';

const SIZE = { width: 460, height: 320 };

function chartOf(model: TurbineChartModel, handlers: TurbineChartHandlers = {}) {
  const svg = document.createElementNS('http://www.w3.org/2000/svg', 'svg') as SVGSVGElement;
  const chart = liveChart(TURBINE_KIND, svg, printPalette, handlers, SIZE, 'test');
  chart.update(model);
  const all = (selector: string) => [...svg.querySelectorAll(selector)];
  const texts = (selector: string) => all(`${selector} text`).map((text) => text.textContent);
  return { svg, chart, all, texts };
}

const press = (svg: SVGSVGElement, key: string) =>
  svg.dispatchEvent(new KeyboardEvent('keydown', { key, bubbles: true, cancelable: true }));

describe('the turbine chart', () => {
  it('draws the capacity solid where points were entered and dotted beyond them, each point as a cross', () => {
    const { all } = chartOf(inventedTurbine());
    const lines = all('g.lines path');
    const dotted = lines.filter((path) => path.getAttribute('stroke-dasharray') === '1.5 3.5');
    expect(dotted).toHaveLength(1);
    // Before the first point and after the last: two runs.
    expect(dotted[0]!.getAttribute('d')!.match(/M/g)).toHaveLength(2);
    const crosses = lines.find((path) => path.getAttribute('stroke-width') === '1');
    expect(crosses!.getAttribute('d')!.match(/H/g)).toHaveLength(4);
  });

  it('marks the engine speeds that the map marks, with its rings', () => {
    const { all, texts } = chartOf(inventedTurbine());
    expect(texts('g.labels')).toEqual(expect.arrayContaining(['1500', '6500']));
    expect(all('g.points path').filter((path) => path.getAttribute('fill') === printPalette.stop)).not.toHaveLength(0);
    const markers = all('g.points path').find((path) => path.getAttribute('stroke-width') === '1.8');
    expect(markers!.getAttribute('d')!.match(/M/g)).toHaveLength(6);
  });

  it('has a gap to the whole exhaust that is the share of the gate, and none where it is shut', () => {
    const { all } = chartOf(inventedTurbine());
    const stems = all('g.lines path').find((path) => path.getAttribute('stroke-width') === '0.8')!;
    const drawn = [...stems.getAttribute('d')!.matchAll(/M([\d.]+),([\d.]+)V([\d.]+)/g)].map((m) =>
      m.slice(1).map(Number),
    );
    // Marked at 1,500, 2,500 (shut), 3,500 to 6,500.
    expect(drawn).toHaveLength(4);
    const bottom = Math.max(
      ...all('g.axes path').flatMap((path) =>
        [...path.getAttribute('d')!.matchAll(/V([\d.]+)/g)].map((m) => Number(m[1])),
      ),
    );
    const [, y, whole] = drawn.at(-1)! as [number, number, number];
    expect((y - whole) / (bottom - whole)).toBeCloseTo(0.25, 2);
  });

  it('names what is drawn, and where it chokes', () => {
    const { texts } = chartOf(inventedTurbine());
    expect(texts('g.labels')).toEqual(expect.arrayContaining(['A capacity', 'A whole exhaust', 'chokes']));
    expect(texts('g.legend')).toEqual(['Marks: engine rpm', 'As entered', 'Extended']);
  });

  it('hatches the band of an estimate, rising for A and falling for B, by patterns of its own', () => {
    const band = (style: 'a' | 'b', scale: number) => {
      const capacity = inventedCapacity(style, scale, { entered: [] });
      const points = capacity.curves[0]!.points.map(({ expansionRatio, flow }) => ({
        expansionRatio,
        low: 0.85 * flow,
        high: 1.15 * flow,
      }));
      return { ...capacity, band: { label: 'estimate ±15 %', points } };
    };
    const { all, texts } = chartOf(inventedTurbine({ capacities: [band('a', 1), band('b', 1.4)] }));
    const patterns = all('defs pattern');
    expect(patterns.map((pattern) => pattern.id)).toEqual(['test-frame-band-a', 'test-frame-band-b']);
    const [rising, falling] = patterns.map((pattern) => pattern.querySelector('path')!.getAttribute('d'));
    expect(rising).not.toBe(falling);
    const fills = all('g.ground path').map((path) => path.getAttribute('fill'));
    expect(fills).toEqual(expect.arrayContaining(['url(#test-frame-band-a)', 'url(#test-frame-band-b)']));
    expect(texts('g.labels')).toContain('estimate ±15 %');
  });

  it('tells two candidates apart by dash and marker in black and white', () => {
    const model = inventedTurbine({
      capacities: [inventedCapacity('a'), inventedCapacity('b', 1.3)],
      engines: [inventedEngine('a'), inventedEngine('b', 1.3)],
    });
    const { all } = chartOf(model);
    const dashes = all('g.lines path').map((path) => path.getAttribute('stroke-dasharray'));
    expect(dashes).toContain('9 4');
    const markers = all('g.points path').filter((path) => path.getAttribute('stroke-width') === '1.8');
    expect(markers.some((path) => path.getAttribute('d')!.includes('a'))).toBe(true);
    expect(markers.some((path) => path.getAttribute('d')!.includes('L'))).toBe(true);
  });

  it('reads engine speed by engine speed with the keys, and says what it is', () => {
    const onPoint = vi.fn();
    const announce = vi.fn();
    const { svg, chart } = chartOf(inventedTurbine(), { onPoint, announce });
    press(svg, 'End');
    expect(onPoint).toHaveBeenLastCalledWith({ engineSpeedRpm: 6500, by: 'key' });
    expect(announce).toHaveBeenLastCalledWith(
      expect.stringMatching(/^At 6500 rpm, A expansion ratio 2\.55, 0\.1\d+ kg\/s, gate 25 %$/),
    );
    chart.update(inventedTurbine({ focusRpm: 6500 }));
    press(svg, 'ArrowLeft');
    expect(onPoint).toHaveBeenLastCalledWith({ engineSpeedRpm: 6250, by: 'key' });
    press(svg, 'Home');
    expect(announce).toHaveBeenLastCalledWith(expect.stringContaining('gate shut'));
  });

  it('points under the pointer: at a point, or anywhere on the gap above it, and at nothing far from the engine', () => {
    const onPoint = vi.fn();
    const { svg, all } = chartOf(inventedTurbine(), { onPoint });
    const stems = all('g.lines path').find((path) => path.getAttribute('stroke-width') === '0.8')!;
    const last = [...stems.getAttribute('d')!.matchAll(/M([\d.]+),([\d.]+)V([\d.]+)/g)].at(-1)!.slice(1).map(Number);
    const move = (clientX: number, clientY: number, type = 'pointermove') =>
      svg.dispatchEvent(new MouseEvent(type, { clientX, clientY, bubbles: true }));
    move(last[0]!, (last[1]! + last[2]!) / 2);
    expect(onPoint).toHaveBeenLastCalledWith({ engineSpeedRpm: 6500, by: 'pointer' });
    move(last[0]!, (last[1]! + last[2]!) / 2, 'pointerdown');
    expect(onPoint).toHaveBeenLastCalledWith({ engineSpeedRpm: 6500, by: 'press' });
  });

  it('draws no more than what is pointed at when only that changes', () => {
    const model = inventedTurbine();
    const { chart, all, texts } = chartOf(model);
    const before = all('g.lines path').map((path) => path.getAttribute('d'));
    all('g.lines path').forEach((path) => {
      path.setAttribute('d', 'M0,0L1,1');
    });
    chart.update({ ...model, focusRpm: 4500 });
    expect(all('g.lines path').every((path) => path.getAttribute('d') === 'M0,0L1,1')).toBe(true);
    expect(texts('g.pointed')).toEqual(['4500: gate 13 %']);
    chart.update({ ...model, maxRatio: 3.0001 });
    expect(all('g.lines path').map((path) => path.getAttribute('d'))[0]).not.toBe('M0,0L1,1');
    expect(before.length).toBe(all('g.lines path').length);
  });

  it('draws the turbine anew only when it or the axes are others: the engine moves over it', () => {
    const model = inventedTurbine();
    const { chart, all, texts } = chartOf(model);
    const stand = () => all('g.swallowed path').map((path) => path.getAttribute('d'));
    for (const path of all('g.swallowed path')) path.setAttribute('d', 'M0,0L1,1');
    const moved = { ...inventedEngine('a', 0.999) };
    chart.update({ ...model, engines: [moved] });
    expect(stand().every((d) => d === 'M0,0L1,1')).toBe(true);
    expect(texts('g.names')).toContain('A capacity');
    chart.update({ ...model, engines: [moved], capacities: [inventedCapacity('a', 1.01)] });
    expect(stand().some((d) => d === 'M0,0L1,1')).toBe(false);
  });

  it('never lets a label stand on another, on a mark or out of the frame, wherever the engine moves', () => {
    const model = inventedTurbine({ capacities: [inventedCapacity('a'), inventedCapacity('b', 1.25)] });
    const svg = document.createElementNS('http://www.w3.org/2000/svg', 'svg') as SVGSVGElement;
    const painter = painterOf(TURBINE_KIND, svg, printPalette, 'labels');
    let axes = turbineAxes(model, SIZE);
    for (let scale = 0.7; scale < 1.3; scale += 0.03) {
      const moved = { ...model, engines: [inventedEngine('a', scale), inventedEngine('b', 1.25 * scale)] };
      // The axes as the chart keeps them: the same object while they are alike.
      const wanted = turbineAxes(moved, SIZE);
      if (axesKey(wanted) !== axesKey(axes)) axes = wanted;
      painter.paint(moved, axes);
      const { frame } = axes;
      const boxes = painter.labelBoxes;
      expect(boxes.length).toBeGreaterThan(5);
      boxes.forEach((box, i) => {
        for (const other of boxes.slice(i + 1)) expect(boxesOverlap(box, other), `scale ${scale}`).toBe(false);
        for (const { x, y } of cornersOf(box)) {
          expect(x >= frame.left && x <= frame.right && y >= frame.top && y <= frame.bottom).toBe(true);
        }
      });
      const markers = [...svg.querySelectorAll('g.points path[stroke-width="1.8"]')].flatMap((path) => [
        ...path.getAttribute('d')!.matchAll(/M([\d.]+),([\d.]+)/g),
      ]);
      expect(markers.length).toBeGreaterThan(8);
      for (const [, x, y] of markers) {
        const mark = { x: Number(x) + 4.5, y: Number(y), width: 7, height: 7, angle: 0 };
        for (const box of boxes) expect(boxesOverlap(box, mark), `scale ${scale}`).toBe(false);
      }
    }
  });

  it('passes over what is not a number', () => {
    const engine = inventedEngine('a');
    const points = engine.points.map((point, i) =>
      i === 3 ? null : point && { ...point, flow: i === 8 ? Number.NaN : point.flow },
    );
    const { svg } = chartOf(inventedTurbine({ engines: [{ ...engine, points }] }));
    expect(svg.outerHTML).not.toContain('NaN');
  });

  it('stands alone in a file', () => {
    const { svg } = chartOf(inventedTurbine());
    const sheet = {
      size: SIZE,
      palette: lightPalette,
      title: 'Turbine of Larch',
      description: '',
      provenance: 'Invented.',
      caution: '',
    };
    const file = exportSvg(svg, sheet);
    expect(file).toContain('Turbine of Larch');
    expect(file).toContain('Expansion ratio, total to static');
    expect(file).not.toMatch(/var\(--|class="[^"]*_/);
    expect(svg.getAttribute('role')).toBeNull();
  });
});

describe('axis of flow', () => {
  it('starts at nothing, so that a gap is seen as a share, and is not pressed flat by a gate that takes nearly all', () => {
    const engine = inventedEngine('a');
    const open = {
      ...engine,
      points: engine.points.map((point) => point && { ...point, wholeExhaust: 50 * point.flow }),
    };
    const { texts } = chartOf(inventedTurbine({ engines: [open] }));
    const ticks = texts('g.axes').map(Number).filter(Number.isFinite);
    expect(ticks).toContain(0);
    // The ratio axis ends at 3; the whole exhaust would be at 5 kg/s.
    expect(ticks.filter((tick) => tick > 3)).toEqual([]);
    expect(texts('g.axes')).toContain('0.20');
  });
});
