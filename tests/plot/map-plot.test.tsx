import { afterEach, beforeAll, describe, expect, it, vi } from 'vitest';
import { createMapPlot, loadMapZoom, type MapPlotHandlers } from '../../src/plot/charts/map.tsx';
import {
  type MapPlotModel,
  type MapReadout,
  type PlotOperatingPoint,
  toPixel,
} from '../../src/plot/charts/map-model.ts';
import { darkPalette, lightPalette } from '../../src/plot/frame/looks.ts';
import { inventedChart, inventedLine, inventedModel, onLine } from './invented-map.ts';

const SIZE = { width: 700, height: 560 };

function plotOf(model: MapPlotModel, handlers: MapPlotHandlers = {}) {
  const svg = document.createElementNS('http://www.w3.org/2000/svg', 'svg') as SVGSVGElement;
  svg.setAttribute('tabindex', '0');
  document.body.append(svg);
  const plot = createMapPlot(svg, lightPalette, handlers, SIZE, 'test');
  plot.update(model);
  const press = (key: string, init: KeyboardEventInit = {}) =>
    svg.dispatchEvent(new KeyboardEvent('keydown', { key, bubbles: true, cancelable: true, ...init }));
  const point = (type: string, x: number, y: number) =>
    svg.dispatchEvent(new MouseEvent(type, { clientX: x, clientY: y, bubbles: true, cancelable: true }));
  return { svg, plot, press, point, group: (name: string) => svg.querySelector(`.${name}`)! };
}

/** Every attribute and text of a drawing as one string. */
function everything(svg: SVGSVGElement): string {
  return svg.outerHTML;
}

beforeAll(loadMapZoom);

afterEach(() => {
  document.body.innerHTML = '';
});

describe('the map plot', () => {
  it('sets a speed label anew without drawing anything else', () => {
    const model = inventedModel();
    const { plot, svg, group } = plotOf(model);
    const texts = () => [...group('chart-labels').querySelectorAll('text')].map((node) => node.textContent);
    const line = model.chart.speedLines.findIndex(({ label }) => texts().includes(label));
    const { label } = model.chart.speedLines[line]!;
    const next = label.replace(/\d(?=\D*$)/, '9');
    const before = everything(svg);
    plot.update({
      ...model,
      chart: {
        ...model.chart,
        speedLines: model.chart.speedLines.map((old, i) => (i === line ? { ...old, label: next } : old)),
      },
    });
    expect(next).not.toBe(label);
    expect(texts()).toContain(next);
    expect(texts()).not.toContain(label);
    expect(everything(svg).replace(`>${next}<`, `>${label}<`)).toBe(before);
  });

  it('has its layers in order, from the grid to the read-out', () => {
    const { svg } = plotOf(inventedModel());
    const names = [...svg.querySelectorAll('g')].map((group) => group.getAttribute('class'));
    expect(names).toEqual([
      'grid',
      'surface',
      'island-fills',
      'island-lines',
      'speed-lines',
      'surge',
      'choke',
      'rated',
      'sheet-points',
      'second-surface',
      'island-fills',
      'island-lines',
      'speed-lines',
      'surge',
      'choke',
      'rated',
      'sheet-points',
      'chart-labels',
      'second-labels',
      'operating-lines',
      'measured',
      'operating-labels',
      'places',
      'axes',
      'legend',
      'readout',
    ]);
  });

  it('names axes with their units and says what the labels are', () => {
    const { svg } = plotOf(inventedModel());
    const texts = [...svg.querySelectorAll('text')].map((text) => text.textContent);
    for (const text of [
      'Corrected air flow, kg/s',
      'Pressure ratio, total to total',
      'Speed lines: shaft speed, rpm, at 24 °C inlet',
      'Marks: engine speed, rpm',
      'A: Larch',
      'B: Rowan',
      'surge line',
      'choke end',
      'rated speed 172\u202f000 rpm',
    ]) {
      expect(texts).toContain(text);
    }
  });

  it('tells candidates apart by dash and marker, not by colour alone', () => {
    const { group } = plotOf(inventedModel());
    const paths = [...group('operating-lines').querySelectorAll('path')];
    const of = (colour: string) => paths.filter((path) => path.getAttribute('stroke') === colour);
    const [lineA, lineB] = [of(lightPalette.candidateA), of(lightPalette.candidateB)];
    expect(lineA[0]!.getAttribute('stroke-dasharray')).toBeNull();
    expect(lineB[0]!.getAttribute('stroke-dasharray')).toBe('9 4');
    expect(lineA.some((path) => path.getAttribute('d')!.includes('a4,4'))).toBe(true);
    expect(lineB.some((path) => path.getAttribute('d')!.includes('a4,4'))).toBe(false);
  });

  it('never writes NaN, Infinity or undefined, whatever is missing in the model', () => {
    const bad = { correctedMassFlowKgPerS: Number.NaN, pressureRatio: Number.POSITIVE_INFINITY };
    const chart = inventedChart();
    const points: (PlotOperatingPoint | null)[] = inventedLine(1, 1.5);
    points[7] = null;
    points[12] = { ...points[12]!, ...bad };
    const { svg, press } = plotOf(
      inventedModel({
        chart: {
          ...chart,
          speedLines: [
            ...chart.speedLines.map((line) => ({ ...line, points: line.points.with(5, bad) })),
            { label: 'empty', kind: 'entered', points: [], isRated: false },
            { label: 'one', kind: 'extended', points: [onLine(0.5, 0.5)], isRated: true },
          ],
          surgeLine: [{ points: [bad, ...chart.surgeLine[0]!.points], extended: true }],
          islands: [
            ...chart.islands,
            { contour: { efficiency: Number.NaN, rings: [{ points: [bad, bad], closed: true }] }, label: '?' },
            { contour: { efficiency: 0.5, rings: [] }, label: 'none' },
          ],
          sheetPoints: [bad, onLine(0.6, 0.4)],
        },
        operatingLines: [
          { id: 'a', name: 'A', style: 'a', points },
          { id: 'b', name: 'B', style: 'b', points: [null, null] },
        ],
        places: [{ id: 'p', at: bad, severity: 'stop', label: 'p', highlighted: true }],
        focus: bad,
      }),
    );
    press('ArrowRight');
    press('+');
    expect(everything(svg)).not.toMatch(/NaN|Infinity|undefined/);
    expect(svg.querySelectorAll('.sheet-points path')).toHaveLength(1);
  });

  it('writes nothing that stands there already, neither on the same axes nor on others', async () => {
    const model = { ...inventedModel(), wordsElsewhere: true };
    const { svg, plot } = plotOf(model);
    const [same, written]: [string[], string[]] = [[], []];
    const note = (records: readonly MutationRecord[]) => {
      for (const { type, target, attributeName, oldValue } of records) {
        if (type === 'childList') continue;
        const now = type === 'attributes' ? (target as Element).getAttribute(attributeName!) : target.nodeValue;
        const name = `${(target.parentElement?.className as unknown as SVGAnimatedString)?.baseVal} ${attributeName}`;
        (now === oldValue ? same : written).push(name);
      }
    };
    const observer = new MutationObserver(note);
    const kinds = { attributes: true, attributeOldValue: true, characterData: true, characterDataOldValue: true };
    observer.observe(svg, { ...kinds, subtree: true });
    const faster = model.operatingLines.map((line) => ({ ...line, points: inventedLine(0.9, 1.4) }));
    const axes = { minFlowKgPerS: 0, maxFlowKgPerS: 0.5, minPressureRatio: 1, maxPressureRatio: 4.4 };
    for (const next of [{}, { axes }]) {
      plot.update({ ...model, operatingLines: faster, ...next });
      await Promise.resolve();
      expect(written.length).toBeGreaterThan(5);
      expect(same).toEqual([]);
      written.length = 0;
    }
    observer.disconnect();
  });

  it('leaves every other layer untouched when only the operating lines change', async () => {
    const model = inventedModel();
    const { svg, plot, group } = plotOf(model);
    const changed = new Set<string>();
    const observer = new MutationObserver((records) => {
      for (const { target } of records) {
        const top = (target instanceof Element ? target : target.parentElement)?.closest('svg > g');
        if (top) changed.add(top.getAttribute('class')!);
      }
    });
    observer.observe(svg, { attributes: true, childList: true, characterData: true, subtree: true });
    const before = group('operating-lines').innerHTML;
    plot.update({
      ...model,
      operatingLines: model.operatingLines.map((line) => ({ ...line, points: inventedLine(0.9, 1.4) })),
    });
    await Promise.resolve();
    observer.disconnect();
    expect(group('operating-lines').innerHTML).not.toBe(before);
    expect(
      [...changed].filter((name) => !['operating-lines', 'operating-labels', 'places', 'readout'].includes(name)),
    ).toEqual([]);
  });

  it('draws anew in another palette and size', () => {
    const { svg, plot } = plotOf(inventedModel());
    plot.setPalette(darkPalette);
    expect(svg.querySelector('.paper')!.getAttribute('fill')).toBe(darkPalette.paper);
    expect(everything(svg)).not.toContain(lightPalette.candidateA);
    plot.resize({ width: 460, height: 420 });
    expect(svg.getAttribute('viewBox')).toBe('0 0 460 420');
  });
});

describe('reading the map', () => {
  it('reports the data point under the pointer, and null when it leaves', () => {
    const onHover = vi.fn<(readout: MapReadout | null) => void>();
    const { plot, point, group } = plotOf(inventedModel({ operatingLines: [] }), { onHover });
    const wanted = onLine(0.7, 0.5);
    const pixel = toPixel(plot.scales()!, wanted);
    point('pointermove', pixel.x, pixel.y);
    const { at, near } = onHover.mock.lastCall![0]!;
    expect(at.correctedMassFlowKgPerS).toBeCloseTo(wanted.correctedMassFlowKgPerS, 6);
    expect(at.pressureRatio).toBeCloseTo(wanted.pressureRatio, 6);
    expect(near).toBeNull();
    expect(group('readout').textContent).toContain('kg/s');
    point('pointerleave', 0, 0);
    expect(onHover).toHaveBeenLastCalledWith(null);
    expect(group('readout').textContent).toBe('');
  });

  it('catches the nearest operating point and names its engine speed once', () => {
    const onEngineSpeed = vi.fn();
    const model = inventedModel();
    const { plot, point } = plotOf(model, { onEngineSpeed });
    const pixel = toPixel(plot.scales()!, model.operatingLines[0]!.points[20]!);
    point('pointermove', pixel.x + 1, pixel.y + 1);
    point('pointermove', pixel.x - 1, pixel.y);
    expect(onEngineSpeed.mock.calls).toEqual([
      [{ lineId: 'a', index: 20, engineSpeedRpm: model.operatingLines[0]!.points[20]!.engineSpeedRpm }],
    ]);
  });

  it('walks along the operating line with the arrow keys and speaks what the view describes', () => {
    const announce = vi.fn();
    const describe = (readout: MapReadout) => [
      `${readout.near?.lineId} ${readout.near?.engineSpeedRpm} rpm`,
      'eta 74 %',
    ];
    const { press, group } = plotOf(inventedModel(), { announce, describe });
    press('ArrowRight');
    expect(announce).toHaveBeenLastCalledWith('a 1800 rpm, eta 74 %');
    press('ArrowRight');
    press('ArrowRight', { shiftKey: true });
    expect(announce).toHaveBeenLastCalledWith('a 2329 rpm, eta 74 %');
    press('ArrowDown');
    expect(announce).toHaveBeenLastCalledWith('b 2329 rpm, eta 74 %');
    press('End');
    expect(announce).toHaveBeenLastCalledWith('b 7000 rpm, eta 74 %');
    expect(group('readout').textContent).toContain('eta 74 %');
    press('Escape');
    expect(group('readout').textContent).toBe('');
  });

  it('moves freely in steps of pixels after Enter, five times as far with Shift', () => {
    const onHover = vi.fn<(readout: MapReadout | null) => void>();
    const { plot, press } = plotOf(inventedModel(), { onHover });
    press('ArrowRight');
    press('Enter');
    const from = toPixel(plot.scales()!, onHover.mock.lastCall![0]!.at);
    press('ArrowUp');
    press('ArrowRight', { shiftKey: true });
    const to = toPixel(plot.scales()!, onHover.mock.lastCall![0]!.at);
    expect([to.x - from.x, to.y - from.y]).toEqual([expect.closeTo(30, 6), expect.closeTo(-6, 6)]);
  });

  it('leaves keys alone that are not its own', () => {
    const { press } = plotOf(inventedModel());
    expect(press('Tab')).toBe(true);
    expect(press('z', { ctrlKey: true })).toBe(true);
    expect(press('ArrowRight')).toBe(false);
  });

  it('keeps the read-out on its engine speed when the line moves', () => {
    const model = inventedModel();
    const { plot, press, group } = plotOf(model);
    press('End');
    const points = inventedLine(0.8, 1.1);
    plot.update({ ...model, operatingLines: [{ ...model.operatingLines[0]!, points }] });
    const last = points.at(-1)!;
    expect(group('readout').textContent).toContain(last.pressureRatio.toFixed(2));
  });
});

describe('zooming the map', () => {
  it('leaves the page its wheel until Ctrl is held or the plot has the focus', () => {
    const { svg, plot } = plotOf(inventedModel());
    const shown = () => plot.scales()!.x.invert(600) - plot.scales()!.x.invert(300);
    const whole = shown();
    const wheel = (init: WheelEventInit) =>
      svg.dispatchEvent(
        new WheelEvent('wheel', { deltaY: -100, clientX: 300, clientY: 300, bubbles: true, cancelable: true, ...init }),
      );
    expect(wheel({})).toBe(true);
    expect(shown()).toBe(whole);
    expect(wheel({ ctrlKey: true })).toBe(false);
    const nearer = shown();
    expect(nearer).toBeLessThan(whole);
    svg.focus();
    expect(wheel({})).toBe(false);
    expect(shown()).toBeLessThan(nearer);
  });

  it('keeps the data under the pointer and the line widths', () => {
    const { svg, plot, group } = plotOf(inventedModel());
    const before = plot.scales()!;
    const at = { flow: before.x.invert(300), ratio: before.y.invert(250) };
    const width = group('surge').querySelector('path')!.getAttribute('stroke-width');
    svg.dispatchEvent(
      new WheelEvent('wheel', {
        deltaY: -200,
        ctrlKey: true,
        clientX: 300,
        clientY: 250,
        bubbles: true,
        cancelable: true,
      }),
    );
    const after = plot.scales()!;
    expect(after.x.domain()).not.toEqual(before.x.domain());
    expect(after.x(at.flow)).toBeCloseTo(300, 6);
    expect(after.y(at.ratio)).toBeCloseTo(250, 6);
    expect(group('surge').querySelector('path')!.getAttribute('stroke-width')).toBe(width);
    expect(group('surge').getAttribute('transform')).toBeNull();
  });

  it('zooms, pans and resets by keys, within limits', () => {
    const { plot, press } = plotOf(inventedModel());
    const whole = plot.scales()!.x.domain();
    press('-');
    expect(plot.scales()!.x.domain()).toEqual(whole);
    press('+');
    const [low, high] = plot.scales()!.x.domain() as [number, number];
    expect(high - low).toBeCloseTo((whole[1]! - whole[0]!) / 1.5, 9);
    press('ArrowRight', { altKey: true });
    expect(plot.scales()!.x.domain()[0]!).toBeGreaterThan(low);
    for (let i = 0; i < 40; i++) press('+');
    const deepest = plot.scales()!.x.domain() as [number, number];
    expect((whole[1]! - whole[0]!) / (deepest[1] - deepest[0])).toBeCloseTo(25, 6);
    press('0');
    expect(plot.scales()!.x.domain()).toEqual(whole);
  });

  it('keeps what is in view when the size changes', () => {
    const { plot, press } = plotOf(inventedModel());
    press('+');
    press('+');
    const before = plot.scales()!;
    const corner = [before.x.invert(before.frame.left), before.y.invert(before.frame.bottom)];
    plot.resize({ width: 500, height: 500 });
    const after = plot.scales()!;
    expect(after.x.invert(after.frame.left)).toBeCloseTo(corner[0]!, 9);
    expect(after.y.invert(after.frame.bottom)).toBeCloseTo(corner[1]!, 9);
  });
});

describe('places on the map', () => {
  it('are drawn where the finding is, and report a click', () => {
    const onPlace = vi.fn();
    const at = onLine(0.8, 0.7);
    const { plot, group } = plotOf(
      inventedModel({ places: [{ id: 'overspeed', at, severity: 'stop', label: '', highlighted: true }] }),
      { onPlace },
    );
    const mark = group('places').querySelector('path')!;
    const pixel = toPixel(plot.scales()!, at);
    const [x, y] = mark.getAttribute('d')!.slice(1).split('h')[0]!.split(',').map(Number) as [number, number];
    // A stop is a square; this one is half 11 wide.
    expect(x).toBeCloseTo(pixel.x - 11, 0);
    expect(y).toBeCloseTo(pixel.y - 11, 0);
    mark.dispatchEvent(new MouseEvent('click', { bubbles: true }));
    expect(onPlace).toHaveBeenCalledWith('overspeed');
  });
});
