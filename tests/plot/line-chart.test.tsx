import { afterEach, describe, expect, it, vi } from 'vitest';
import { LINE_KIND, type LineChartModel } from '../../src/plot/charts/line.tsx';
import { liveChart } from '../../src/plot/frame/live.ts';
import { lightPalette } from '../../src/plot/frame/looks.ts';

function modelOf(over: Partial<LineChartModel> = {}): LineChartModel {
  const points = [2000, 3000, 4000, 5000, 6000].map((x) => ({ x, value: x * 25 }));
  return {
    valueAxis: { title: 'Shaft speed', unit: 'rpm', decimals: 0, include: [] },
    xAxis: { title: 'Engine speed', unit: 'rpm', decimals: 0, min: 1500, max: 6500 },
    bands: [],
    names: 'along',
    series: [
      { id: 'a', name: 'A', style: 'a', weight: 'main', points },
      {
        id: 'b',
        name: 'B',
        style: 'b',
        weight: 'main',
        points: points.map((p) => ({ ...p, value: p.value - 12_000 })),
      },
    ],
    limits: [{ label: 'limit 160\u202f000 rpm', value: 160_000, severity: 'stop' }],
    focusX: null,
    focusSeriesId: null,
    ...over,
  };
}

function chartOf(model: LineChartModel) {
  const svg = document.createElementNS('http://www.w3.org/2000/svg', 'svg') as SVGSVGElement;
  document.body.append(svg);
  const onPoint = vi.fn();
  const announce = vi.fn();
  const chart = liveChart(LINE_KIND, svg, lightPalette, { onPoint, announce }, { width: 360, height: 220 }, 'test');
  chart.update(model);
  return {
    svg,
    chart,
    onPoint,
    announce,
    texts: () => [...svg.querySelectorAll('text')].map((t) => t.textContent),
  };
}

afterEach(() => {
  document.body.innerHTML = '';
});

describe('the line chart', () => {
  it('names its axes with units, its series and its limit on the lines', () => {
    const { texts } = chartOf(modelOf());
    for (const text of ['Shaft speed, rpm', 'Engine speed, rpm', 'A', 'B', 'limit 160\u202f000 rpm']) {
      expect(texts()).toContain(text);
    }
  });

  it('breaks a series at a missing value and never writes NaN', () => {
    const model = modelOf();
    const points = model.series[0]!.points.toSpliced(2, 1, null);
    const { svg } = chartOf(
      modelOf({
        series: [
          { ...model.series[0]!, points },
          { ...model.series[1]!, points: [{ x: 2000, value: Number.NaN }] },
        ],
        limits: [{ label: 'none', value: Number.NaN, severity: 'caution' }],
        focusX: 4000,
      }),
    );
    expect(svg.outerHTML).not.toMatch(/NaN|undefined|Infinity/);
    const line = [...svg.querySelectorAll('.lines path')].find((path) => path.getAttribute('stroke-width') === '2.2')!;
    expect(line.getAttribute('d')!.match(/M/g)).toHaveLength(2);
  });

  it('shows the values at the engine speed pointed at, without drawing the series anew', async () => {
    const model = modelOf();
    const { svg, chart, texts } = chartOf(model);
    let touched = 0;
    const observer = new MutationObserver((records) => {
      touched += records.filter(({ target }) => (target as Element).closest('.lines, .axes, .grid, .labels')).length;
    });
    observer.observe(svg, { attributes: true, childList: true, subtree: true });
    chart.update({ ...model, focusX: 4000 });
    await Promise.resolve();
    observer.disconnect();
    expect(touched).toBe(0);
    expect(texts()).toContain('100\u202f000 rpm');
    expect(texts()).toContain('88\u202f000 rpm');
  });

  it('asks for the nearest engine speed of the series under the pointer, and by keys', () => {
    const { svg, onPoint, announce } = chartOf(modelOf());
    svg.dispatchEvent(new MouseEvent('pointermove', { clientX: 200, clientY: 80 }));
    expect([3000, 4000]).toContain(onPoint.mock.lastCall![0].x);
    svg.dispatchEvent(new KeyboardEvent('keydown', { key: 'End' }));
    expect(onPoint).toHaveBeenLastCalledWith({ x: 6000, seriesId: 'a', by: 'key' });
    expect(announce).toHaveBeenLastCalledWith('At 6000 rpm, A 150\u202f000 rpm, B 138\u202f000 rpm');
  });
});

describe('many lines that run alongside', () => {
  const many = (names: 'along' | 'end', focusSeriesId: string | null = null) =>
    modelOf({
      names,
      focusSeriesId,
      focusX: focusSeriesId === null ? null : 4000,
      limits: [],
      series: [0, 1, 2, 3, 4, 5, 6].map((i) => ({
        id: `p${i}`,
        name: `${i * 500} m`,
        style: 'plain',
        weight: 'second',
        shade: i / 6,
        points: [2000, 4000, 6000].map((x) => ({ x, value: 1.5 - i * 0.01 })),
      })),
    });

  it('are all named at their ends, in the order of the lines, no name over another', () => {
    const { svg } = chartOf(many('end'));
    const names = [...svg.querySelectorAll('.labels text')].map((text) => ({
      text: text.textContent,
      y: Number(/,([\d.-]+)\)/.exec(text.getAttribute('transform')!)![1]),
    }));
    expect(names.map(({ text }) => text)).toEqual(['0 m', '500 m', '1000 m', '1500 m', '2000 m', '2500 m', '3000 m']);
    names.slice(1).forEach(({ y }, i) => {
      expect(y - names[i]!.y).toBeGreaterThanOrEqual(12);
    });
  });

  it('show the value of the one that stands out, and walk from one to the next by keys', () => {
    const { svg, texts, onPoint } = chartOf(many('end', 'p3'));
    expect(texts().filter((text) => /^[\d,.]+ rpm$/.test(text ?? ''))).toHaveLength(1);
    svg.dispatchEvent(new KeyboardEvent('keydown', { key: 'ArrowUp' }));
    expect(onPoint).toHaveBeenLastCalledWith({ x: 4000, seriesId: 'p4', by: 'key' });
    svg.dispatchEvent(new KeyboardEvent('keydown', { key: 'ArrowLeft' }));
    expect(onPoint).toHaveBeenLastCalledWith({ x: 2000, seriesId: 'p3', by: 'key' });
  });
});

describe('a band', () => {
  it('is closed between its edges, broken where a value is missing, and inside the axis', () => {
    const points = [2000, 3000, 4000, 5000, 6000].map((x) => ({ x, low: 90, high: 130 }));
    const { svg, texts } = chartOf(
      modelOf({
        series: [],
        limits: [],
        valueAxis: { title: 'Chance', unit: '%', decimals: 0, include: [0], bounds: { low: 0 } },
        bands: [{ id: 'band', style: 'a', points: points.with(2, null as never) }],
      }),
    );
    const [fill] = svg.querySelectorAll('.ground path');
    expect(fill!.getAttribute('d')!.match(/Z/g)).toHaveLength(2);
    expect(svg.outerHTML).not.toMatch(/NaN|undefined|Infinity/);
    expect(texts()).toContain('0');
    expect(texts().some((text) => text?.startsWith('−'))).toBe(false);
  });
});
