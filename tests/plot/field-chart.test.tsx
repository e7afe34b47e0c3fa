import { afterEach, describe, expect, it, vi } from 'vitest';
import { FIELD_KIND, type FieldChartModel } from '../../src/plot/charts/field.tsx';
import { smallChart } from '../../src/plot/frame/axes.ts';
import { liveChart } from '../../src/plot/frame/live.ts';
import { darkPalette, type FieldHatch, HATCHES, lightPalette, printPalette } from '../../src/plot/frame/looks.ts';
import { cellBounds, type FieldKind, fieldGeometry, kindColours } from '../../src/plot/marks/cells.ts';

const KINDS: readonly FieldKind[] = [
  { key: 'shaft', name: 'Shaft speed', hatch: 'rising', colour: 'stop' },
  { key: 'surge', name: 'Surge margin', hatch: 'upright', colour: 'ink' },
  { key: 'unused', name: 'Power', hatch: 'falling', colour: 'good' },
];

function modelOf(over: Partial<FieldChartModel> = {}): FieldChartModel {
  const xs = [2000, 3000, 4000, 5000, 6000];
  const ys = [0, 1000, 2000];
  return {
    xAxis: { title: 'Engine speed', unit: 'rpm', decimals: 0 },
    yAxis: { title: 'Altitude', unit: 'm', decimals: 0 },
    xs,
    ys,
    cells: ys.map(() => xs.map((x) => (x < 3000 ? 'surge' : 'shaft'))),
    kinds: KINDS,
    marked: { cells: ys.map((y) => xs.map((x) => y === 2000 && x >= 5000)), label: 'over a limit' },
    focus: null,
    ...over,
  };
}

function chartOf(model: FieldChartModel, palette = lightPalette) {
  const svg = document.createElementNS('http://www.w3.org/2000/svg', 'svg') as SVGSVGElement;
  document.body.append(svg);
  const onPoint = vi.fn();
  const announce = vi.fn();
  const chart = liveChart(FIELD_KIND, svg, palette, { onPoint, announce }, { width: 520, height: 320 }, 'field');
  chart.update(model);
  return { svg, chart, onPoint, announce, texts: () => [...svg.querySelectorAll('text')].map((t) => t.textContent) };
}

afterEach(() => {
  document.body.innerHTML = '';
});

describe('the field chart', () => {
  it('fills every cell with the hatch of its kind, and explains just the kinds that occur', () => {
    const { svg, texts } = chartOf(modelOf());
    const fills = [...svg.querySelectorAll('.ground path')].map((path) => path.getAttribute('fill'));
    expect(fills).toEqual(['url(#field-frame-shaft)', 'url(#field-frame-surge)']);
    for (const fill of fills) expect(svg.querySelector(fill!.replace(/url\((#.*)\)/, '$1'))?.tagName).toBe('pattern');
    expect(texts()).toContain('Shaft speed');
    expect(texts()).not.toContain('Power');
    for (const text of ['Altitude, m', 'Engine speed, rpm', 'over a limit']) expect(texts()).toContain(text);
  });

  it('tells all kinds apart without colour: no two hatches draw the same lines, and on paper the ground is white', () => {
    const all = Object.keys(HATCHES) as FieldHatch[];
    expect(new Set(all.map((hatch) => HATCHES[hatch].d)).size).toBe(all.length);
    for (const kind of KINDS) expect(kindColours(kind, printPalette).tint).toBe('#ffffff');
  });

  it('puts the bounds of cells halfway, and ends the field at its outermost middles', () => {
    expect(cellBounds([0, 10, 30], (v) => v * 2)).toEqual([0, 10, 40, 60]);
    expect(cellBounds([5], (v) => v)).toEqual([5, 5]);
    expect(cellBounds([], (v) => v)).toEqual([]);
  });

  it('outlines the marked cells only inside the frame', () => {
    const model = modelOf();
    const chart = smallChart({ width: 520, height: 320 }, { low: 2000, high: 6000 }, { low: 0, high: 2000 });
    const { outline } = fieldGeometry(model, chart);
    // Two cells in the corner: one edge to the left, two below.
    expect(outline.match(/V/g)).toHaveLength(1);
    expect(outline.match(/H/g)).toHaveLength(2);
    expect(fieldGeometry({ ...model, marked: null }, chart).outline).toBe('');
  });

  it('leaves unknown cells empty and never writes NaN', () => {
    const cells = modelOf().cells.map((row) => row.with(2, null));
    const { svg } = chartOf(modelOf({ cells, focus: { x: 4000, y: 1000 } }));
    expect(svg.outerHTML).not.toMatch(/NaN|undefined|Infinity/);
  });

  it('reads cell by cell with the arrow keys, and says what binds there', () => {
    const model = modelOf();
    const { svg, chart, onPoint, announce } = chartOf(model);
    const press = (key: string) => svg.dispatchEvent(new KeyboardEvent('keydown', { key }));
    press('ArrowRight');
    expect(onPoint).toHaveBeenLastCalledWith({ x: 2000, y: 0, by: 'key' });
    chart.update({ ...model, focus: { x: 5000, y: 1000 } });
    press('ArrowUp');
    expect(onPoint).toHaveBeenLastCalledWith({ x: 5000, y: 2000, by: 'key' });
    expect(announce).toHaveBeenLastCalledWith('At 5000 rpm and 2000 m: Shaft speed, over a limit');
    press('Escape');
    expect(onPoint).toHaveBeenLastCalledWith(null);
  });

  it('asks for the cell under the pointer, once', () => {
    const { svg, onPoint } = chartOf(modelOf());
    svg.dispatchEvent(new MouseEvent('pointermove', { clientX: 500, clientY: 60 }));
    expect(onPoint).toHaveBeenLastCalledWith({ x: 6000, y: 2000, by: 'pointer' });
    svg.dispatchEvent(new MouseEvent('pointermove', { clientX: 5, clientY: 60 }));
    expect(onPoint).toHaveBeenCalledTimes(1);
  });

  it('moves the pointed cell without drawing the field anew', async () => {
    const model = modelOf();
    const { svg, chart } = chartOf(model);
    let touched = 0;
    const observer = new MutationObserver((records) => {
      touched += records.filter(({ target }) => (target as Element).closest('.ground, .lines, .axes, .grid')).length;
    });
    observer.observe(svg, { attributes: true, childList: true, subtree: true });
    chart.update({ ...model, focus: { x: 4000, y: 1000 } });
    await Promise.resolve();
    observer.disconnect();
    expect(touched).toBe(0);
    expect(svg.querySelectorAll('.pointed path')).toHaveLength(4);
  });

  it('draws anew in another palette', () => {
    const { svg, chart } = chartOf(modelOf());
    const before = svg.querySelector('pattern rect')!.getAttribute('fill');
    chart.setPalette(darkPalette);
    expect(svg.querySelector('pattern rect')!.getAttribute('fill')).not.toBe(before);
  });
});
