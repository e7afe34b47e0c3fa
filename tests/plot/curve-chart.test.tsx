import { render } from '@testing-library/react';
import { afterEach, beforeAll, describe, expect, it } from 'vitest';
import type { CurvePoint } from '../../src/numerics/types.ts';
import { CURVE_KIND, CurveChart, type CurveChartModel, loadCurveDrag } from '../../src/plot/charts/curve.tsx';
import { liveChart } from '../../src/plot/frame/live.ts';
import { lightPalette } from '../../src/plot/frame/looks.ts';

beforeAll(loadCurveDrag);

const START: CurveChartModel = {
  valueAxis: { title: 'Volumetric efficiency', unit: '%', min: 20, max: 140, step: 1, decimals: 0 },
  speedAxis: { min: 1000, max: 7000, step: 50 },
  points: [
    { engineSpeedRpm: 1000, value: 80 },
    { engineSpeedRpm: 4000, value: 100 },
    { engineSpeedRpm: 7000, value: 90 },
  ],
};

function chartOf(start: CurveChartModel = START) {
  const svg = document.createElementNS('http://www.w3.org/2000/svg', 'svg') as SVGSVGElement;
  document.body.append(svg);
  let model = start;
  const log: [string, number, CurvePoint | null, boolean | null][] = [];
  const set = (points: readonly CurvePoint[]) => {
    model = { ...model, points };
    chart.update(model);
  };
  const chart = liveChart(
    CURVE_KIND,
    svg,
    lightPalette,
    {
      onDrag: (index, point, { done }) => {
        log.push(['drag', index, point, done]);
        set(model.points.with(index, point));
      },
      onAdd: (point, index) => {
        log.push(['add', index, point, null]);
        set(model.points.toSpliced(index, 0, point));
      },
      onRemove: (index) => {
        log.push(['remove', index, null, null]);
        set(model.points.toSpliced(index, 1));
      },
    },
    { width: 340, height: 200 },
    'test',
  );
  chart.update(model);
  const points = () => [...svg.querySelectorAll<SVGGElement>('.points > g')];
  const place = (index: number) =>
    points()
      [index]!.getAttribute('transform')!
      .match(/[\d.]+/g)!
      .map(Number) as [number, number];
  return { svg, log, points, place, model: () => model };
}

/** What the pointer's move and release are sent to while it is held. */
const page = document.defaultView!;

function mouse(target: EventTarget, type: string, x: number, y: number) {
  const event = new MouseEvent(type, { clientX: x, clientY: y, bubbles: true, cancelable: true, button: 0 });
  // A browser names the window in every mouse event; the test environment's constructor does not take it.
  Object.defineProperty(event, 'view', { value: page });
  target.dispatchEvent(event);
}

function key(target: EventTarget, name: string, init: KeyboardEventInit = {}) {
  target.dispatchEvent(new KeyboardEvent('keydown', { key: name, bubbles: true, cancelable: true, ...init }));
  target.dispatchEvent(new KeyboardEvent('keyup', { key: name, bubbles: true, ...init }));
}

afterEach(() => {
  document.body.innerHTML = '';
});

describe('dragging a point of a curve', () => {
  it('changes the value by the distance moved, and ends as one gesture', () => {
    const { points, place, log, svg } = chartOf();
    const [x, y] = place(1);
    const top = place(1)[1];
    const perPercent = (place(0)[1] - top) / 20;
    mouse(points()[1]!, 'mousedown', x + 4, y - 3);
    mouse(page, 'mousemove', x + 6, y - 3 + 10 * perPercent);
    expect(log.at(-1)).toEqual(['drag', 1, { engineSpeedRpm: 4000, value: 90 }, false]);
    expect(svg.querySelector('.pointed')!.textContent).toBe('90 % at 4000 rpm');
    mouse(page, 'mouseup', x + 6, y - 3 + 10 * perPercent);
    expect(log.at(-1)).toEqual(['drag', 1, { engineSpeedRpm: 4000, value: 90 }, true]);
    expect(log.filter((entry) => entry[3])).toHaveLength(1);
  });

  it('does not move the axes while a point is held', () => {
    const { points, place, svg } = chartOf();
    const [x, y] = place(1);
    const ticks = () => svg.querySelector('.axes')!.innerHTML;
    const before = ticks();
    mouse(points()[1]!, 'mousedown', x, y);
    mouse(page, 'mousemove', x, y - 60);
    expect(ticks()).toBe(before);
    mouse(page, 'mouseup', x, y - 60);
    expect(ticks()).not.toBe(before);
  });

  it('moves an inner point along engine speed once it is pulled sideways, an end point never', () => {
    const { points, place, model } = chartOf();
    const [x, y] = place(1);
    mouse(points()[1]!, 'mousedown', x, y);
    mouse(page, 'mousemove', x + 40, y);
    mouse(page, 'mouseup', x + 40, y);
    expect(model().points[1]!.engineSpeedRpm).toBeGreaterThan(4400);
    const [endX, endY] = place(2);
    mouse(points()[2]!, 'mousedown', endX, endY);
    mouse(page, 'mousemove', endX - 60, endY);
    mouse(page, 'mouseup', endX - 60, endY);
    expect(model().points[2]!.engineSpeedRpm).toBe(7000);
  });

  it('goes back where it was on Escape', () => {
    const { points, place, model } = chartOf();
    const [x, y] = place(1);
    mouse(points()[1]!, 'mousedown', x, y);
    mouse(page, 'mousemove', x, y + 30);
    key(points()[1]!, 'Escape');
    mouse(page, 'mousemove', x, y + 50);
    mouse(page, 'mouseup', x, y + 50);
    expect(model().points).toEqual(START.points);
  });

  it('reports nothing for a mere click', () => {
    const { points, place, log } = chartOf();
    const [x, y] = place(1);
    mouse(points()[1]!, 'mousedown', x, y);
    mouse(page, 'mouseup', x, y);
    expect(log).toEqual([]);
  });
});

describe('a point of a curve by keys', () => {
  it('is a slider that says its value with the unit', () => {
    const { points } = chartOf();
    const point = points()[1]!;
    expect(point.getAttribute('role')).toBe('slider');
    expect(point.getAttribute('tabindex')).toBe('0');
    expect(point.getAttribute('aria-label')).toBe('Volumetric efficiency, point 2 of 3');
    expect(point.getAttribute('aria-valuetext')).toBe('100 % at 4000 rpm');
  });

  it('is nudged by arrows, and each held key is one gesture', () => {
    const { points, log } = chartOf();
    const point = points()[1]!;
    point.dispatchEvent(new KeyboardEvent('keydown', { key: 'ArrowUp', bubbles: true }));
    point.dispatchEvent(new KeyboardEvent('keydown', { key: 'ArrowUp', bubbles: true }));
    point.dispatchEvent(new KeyboardEvent('keyup', { key: 'ArrowUp', bubbles: true }));
    expect(log.map(([, , p, done]) => [p!.value, done])).toEqual([
      [101, false],
      [102, false],
      [102, true],
    ]);
    key(points()[1]!, 'ArrowLeft', { shiftKey: true });
    expect(log.at(-1)).toEqual(['drag', 1, { engineSpeedRpm: 3500, value: 102 }, true]);
  });

  it('is added by Enter with the focus on the new one, and removed by Delete, but never the last', () => {
    const { points, model } = chartOf();
    points()[0]!.focus();
    key(points()[0]!, 'Enter');
    expect(model().points[1]).toEqual({ engineSpeedRpm: 2500, value: 90 });
    expect(document.activeElement).toBe(points()[1]);
    for (let i = 0; i < 6; i++) key(document.activeElement!, 'Delete');
    expect(model().points).toHaveLength(1);
  });
});

describe('a double click', () => {
  it('on the line adds a point there, beside it does nothing', () => {
    const { svg, place, log } = chartOf();
    const [ax, ay] = place(0);
    const [bx, by] = place(1);
    mouse(svg, 'dblclick', (ax + bx) / 2, (ay + by) / 2);
    expect(log).toEqual([['add', 1, { engineSpeedRpm: 2500, value: 90 }, null]]);
    mouse(svg, 'dblclick', (ax + bx) / 2 + 20, ay + 30);
    expect(log).toHaveLength(1);
  });
});

describe('the curve chart', () => {
  it('never writes NaN: a point that is not finite is left out and breaks the line', () => {
    const { svg, points } = chartOf({
      ...START,
      points: START.points.with(1, { engineSpeedRpm: 4000, value: Number.NaN }),
    });
    expect(svg.outerHTML).not.toMatch(/NaN|undefined|Infinity/);
    expect(points()).toHaveLength(2);
  });

  it('works inside React with a given size', () => {
    const { container, getByRole } = render(
      <CurveChart model={START} handlers={{}} size={{ width: 300, height: 180 }} label="Breathing" />,
    );
    expect(container.querySelectorAll('[role=slider]')).toHaveLength(3);
    expect(getByRole('group').getAttribute('aria-label')).toMatch(/^Breathing\./);
  });
});
