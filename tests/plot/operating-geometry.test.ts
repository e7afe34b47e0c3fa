import { describe, expect, it } from 'vitest';
import { mapFrame } from '../../src/plot/charts/map-drawing.ts';
import type { PlotOperatingLine, PlotOperatingPoint } from '../../src/plot/charts/map-model.ts';
import { holdingExtent } from '../../src/plot/charts/map-model.ts';
import { nearestDistance, segmentInBox } from '../../src/plot/frame/pixels.ts';
import { operatingGeometry } from '../../src/plot/marks/operating-line.ts';
import { inventedLine, inventedModel } from './invented-map.ts';

const { base } = mapFrame(inventedModel(), { width: 700, height: 560 });

function drawn(points: readonly (PlotOperatingPoint | null)[]) {
  const line: PlotOperatingLine = { id: 'a', name: 'A', style: 'a', points };
  return operatingGeometry([line], base)[0]!;
}

describe('operating lines', () => {
  it('join neighbouring points and break where an engine speed has none', () => {
    const points = inventedLine(1, 1.5, 10);
    expect(drawn(points).line.match(/L/g)).toHaveLength(9);
    const broken = drawn(points.with(4, null as never));
    expect(broken.line.match(/M/g)).toHaveLength(2);
    expect(broken.line.match(/L/g)).toHaveLength(7);
  });

  it('draw a segment as extended when either end is, once and in the other path only', () => {
    const points = inventedLine(1, 1.5, 10).map((point, i) => ({ ...point, extended: i < 3 }));
    const { line, extendedLine } = drawn(points);
    expect(extendedLine.match(/L/g)).toHaveLength(3);
    expect(line.match(/L/g)).toHaveLength(6);
  });

  it('never join a demand that was not met, and show it as a mark of its own', () => {
    const points = inventedLine(1, 1.5, 10).map((point, i) => ({ ...point, marked: true, unmet: i === 0 }));
    const geometry = drawn(points);
    expect(geometry.line.match(/L/g)).toHaveLength(8);
    expect(geometry.unmet).toHaveLength(1);
    expect(geometry.markers).toHaveLength(9);
  });

  it('mark with a label the engine speeds asked for, each label with its own speed', () => {
    const geometry = drawn(inventedLine(1, 1.5, 13));
    expect(geometry.markers.map((marker) => marker.engineSpeedRpm)).toEqual([1800, 4400, 7000]);
    expect(geometry.labels.map((label) => label.text).sort()).toEqual(['1800', '4400', '7000']);
  });

  it('point to what lies beyond the axes instead of dropping it silently', () => {
    expect(drawn(inventedLine(1, 1.5)).beyond).toBe('');
    const far = inventedLine(1, 1.5, 3).map((point) => ({ ...point, correctedMassFlowKgPerS: 3 }));
    const { beyond } = drawn(far);
    expect(beyond).not.toBe('');
    const xs = [...beyond.matchAll(/[ML]([-\d.]+),/g)].map((match) => Number(match[1]));
    expect(Math.max(...xs)).toBeLessThanOrEqual(base.frame.right);
  });
});

describe('axes', () => {
  const chart = {
    extent: { minFlowKgPerS: 0, maxFlowKgPerS: 0.4, minPressureRatio: 1, maxPressureRatio: 3 },
    speedLines: [],
    ratedSpeedLine: null,
  };
  const at = (flow: number, ratio: number) => [
    { points: [{ ...inventedLine(1, 1, 2)[0]!, correctedMassFlowKgPerS: flow, pressureRatio: ratio }, null] },
  ];

  it('are the map itself while the operating lines are inside it', () => {
    expect(holdingExtent(chart, at(0.39, 2.9))).toEqual(chart.extent);
  });

  it('hold the rated-speed line and every speed line', () => {
    const points = [{ correctedMassFlowKgPerS: 0.42, pressureRatio: 3.3 }];
    const rated = { ...chart, ratedSpeedLine: { pieces: [{ points, extended: true }], label: '' } };
    expect(holdingExtent(rated, [])).toMatchObject({ maxFlowKgPerS: 0.42, maxPressureRatio: 3.3 });
  });

  it('grow in steps of a tenth, so that small changes do not move them, and stop at one and a half maps', () => {
    expect(holdingExtent(chart, at(0.41, 3.01)).maxFlowKgPerS).toBeCloseTo(0.44, 12);
    expect(holdingExtent(chart, at(0.439, 3.19)).maxFlowKgPerS).toBeCloseTo(0.44, 12);
    expect(holdingExtent(chart, at(0.41, 3.01)).maxPressureRatio).toBeCloseTo(3.2, 12);
    expect(holdingExtent(chart, at(9, 99)).maxFlowKgPerS).toBeCloseTo(0.6, 12);
    expect(holdingExtent(chart, at(Number.NaN, 2)).maxFlowKgPerS).toBe(0.4);
  });
});

describe('labels of a line that moves', () => {
  /** How often a label changes its side of the marker while the second line moves past the first. */
  function hops(isHeld: boolean): number {
    const lineOf = (id: string, style: 'a' | 'b', boost: number): PlotOperatingLine => ({
      id,
      name: id,
      style,
      points: inventedLine(1, boost, 25),
    });
    let before = new Map<string, number>();
    let count = 0;
    // Steps so fine that no hop there and back is passed over: half of them changes no count.
    for (let boost = 0.9; boost < 1.6; boost += 0.005) {
      const lines = [lineOf('a', 'a', 1.3), lineOf('b', 'b', boost)];
      const drawnLines = operatingGeometry(lines, base, isHeld ? { held: before } : {});
      const now = new Map(drawnLines.flatMap((line) => line.labels.map((label) => [label.key, label.spot] as const)));
      for (const [key, spot] of now) if (before.has(key) && before.get(key) !== spot) count++;
      before = now;
    }
    return count;
  }

  it('hop less than half as often as they would without holding their side', () => {
    const free = hops(false);
    expect(free).toBeGreaterThan(4);
    expect(hops(true)).toBeLessThan(free / 2);
  });
});

describe('lines beside the one that the map is about', () => {
  it('a faint one has its name at its end and no marks', () => {
    const points = inventedLine(1, 1.5, 10).map((point) => ({ ...point, marked: false }));
    const [faint] = operatingGeometry([{ id: 'high', name: '3000 m', style: 'a', points, faint: true }], base);
    expect(faint!.labels.map(({ text }) => text)).toEqual(['3000 m']);
    expect(faint!.markers).toEqual([]);
    expect(faint!.isFaint).toBe(true);
  });

  it('bars of a spread reach from low to high along both axes', () => {
    const points = inventedLine(1, 1.5, 10);
    const { correctedMassFlowKgPerS: flow, pressureRatio: ratio } = points[5]!;
    const spread = [
      {
        correctedMassFlowKgPerS: { low: flow * 0.95, middle: flow, high: flow * 1.05 },
        pressureRatio: { low: ratio - 0.05, middle: ratio, high: ratio + 0.05 },
      },
    ];
    const [line] = operatingGeometry([{ id: 'a', name: 'A', style: 'a', points, spread }], base);
    // Two bars and four ticks.
    expect(line!.spread.match(/M/g)).toHaveLength(6);
    const [x0, x1] = /M([\d.]+),[\d.]+L([\d.]+)/.exec(line!.spread)!.slice(1).map(Number);
    expect(x0).toBeCloseTo(base.x(flow * 0.95), 0);
    expect(x1).toBeCloseTo(base.x(flow * 1.05), 0);
    expect(drawn(points).spread).toBe('');
  });
});

describe('labels where marks stand close', () => {
  /** A line that bends back at its top end, as every full-load line does near choke: the last marks bunch. */
  const bunched = (bunch: number) =>
    inventedLine(1, 1.5, 24).map((point, i, all) => {
      const end = all.at(-1)!;
      const t = i < 12 ? 0 : bunch;
      return {
        ...point,
        correctedMassFlowKgPerS: point.correctedMassFlowKgPerS * (1 - t) + end.correctedMassFlowKgPerS * t,
        pressureRatio: point.pressureRatio * (1 - t) + end.pressureRatio * t,
        marked: i % 4 === 0 || i === all.length - 1,
      };
    });

  it.each([0, 0.3, 0.6, 0.8, 0.9, 0.97])('none is nearer to another mark than to its own (bunched by %f)', (bunch) => {
    const { labels, markers } = drawn(bunched(bunch));
    expect(labels.length).toBeGreaterThan(1);
    for (const { key, box } of labels) {
      const speed = Number(key.split(':')[1]);
      const away = (rpm: number) => nearestDistance(box, markers.find((m) => m.engineSpeedRpm === rpm)!);
      for (const other of markers) {
        if (other.engineSpeedRpm !== speed) expect(away(other.engineSpeedRpm)).toBeGreaterThanOrEqual(away(speed));
      }
    }
    // The top end is where the line runs to: never the label that is left out.
    expect(labels.map(({ key }) => Number(key.split(':')[1]))).toContain(markers.at(-1)!.engineSpeedRpm);
  });

  it('no leader runs through another label or mark', () => {
    let count = 0;
    for (const bunch of [0.6, 0.8, 0.9]) {
      const { labels, leaders, markers } = drawn(bunched(bunch));
      const ends = [...leaders.matchAll(/M([-\d.]+),([-\d.]+)L([-\d.]+),([-\d.]+)/g)].map(([, ...n]) => n.map(Number));
      const boxes = [...labels.map(({ box }) => box), ...markers.map((m) => ({ ...m, width: 9, height: 9, angle: 0 }))];
      for (const [x1, y1, x2, y2] of ends) {
        count++;
        const crossed = boxes.filter((box) => segmentInBox(box, { x: x1!, y: y1! }, { x: x2!, y: y2! }) !== null);
        // At most its own label, whose edge it may touch.
        expect(crossed.length).toBeLessThanOrEqual(1);
      }
    }
    expect(count).toBeGreaterThan(0);
  });
});
