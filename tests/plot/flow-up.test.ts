import { describe, expect, it } from 'vitest';
import { acrossTicks, baseScales, plotFrame, toData, toPixel, upTicks } from '../../src/plot/charts/map-model.ts';
import type { MapChart } from '../../src/plot/index.ts';

const chart: MapChart = {
  flowAxis: { title: 'Corrected flow', unit: 'lb/min', perKgPerS: 132.277 },
  ratioAxis: { title: 'Expansion ratio' },
  isFlowUp: true,
  extent: { minFlowKgPerS: 0, maxFlowKgPerS: 0.12, minPressureRatio: 1, maxPressureRatio: 3 },
  speedLines: [],
  speedLabelNote: '',
  surgeLine: [],
  chokeEnd: [],
  islands: [],
  islandLabelNote: '',
  ratedSpeedLine: null,
  sheetPoints: [],
};
const frame = plotFrame({ width: 700, height: 500 }, 0, true);
const scales = baseScales(chart, chart.extent, frame);
const usual = baseScales({ ...chart, isFlowUp: false }, chart.extent, frame);

describe('a plot with the ratio across and the flow up', () => {
  it('moves to the right with the ratio and up with the flow', () => {
    const at = (correctedMassFlowKgPerS: number, pressureRatio: number) =>
      toPixel(scales, { correctedMassFlowKgPerS, pressureRatio });
    expect(at(0, 1)).toEqual({ x: frame.left, y: frame.bottom });
    expect(at(0.05, 2).x).toBeGreaterThan(at(0.05, 1.5).x);
    expect(at(0.05, 2).y).toBe(at(0.05, 1.5).y);
    expect(at(0.06, 2).y).toBeLessThan(at(0.05, 2).y);
  });

  it('reads a pixel back as what stands there', () => {
    for (const point of [
      { correctedMassFlowKgPerS: 0.031, pressureRatio: 1.4 },
      { correctedMassFlowKgPerS: 0.11, pressureRatio: 2.9 },
    ]) {
      const back = toData(scales, toPixel(scales, point));
      expect(back.correctedMassFlowKgPerS).toBeCloseTo(point.correctedMassFlowKgPerS, 12);
      expect(back.pressureRatio).toBeCloseTo(point.pressureRatio, 12);
    }
  });

  it('has ticks of the ratio across and of the flow in its own unit up', () => {
    const across = acrossTicks(scales, chart.flowAxis.perKgPerS);
    expect(across.map(({ text }) => text)).toEqual(expect.arrayContaining(['1.0', '2.0', '3.0']));
    const ten = upTicks(scales, chart.flowAxis.perKgPerS).find(({ text }) => text === '10');
    // 10 lb/min is 10 x 0.45359237/60 kg/s.
    expect(ten?.at).toBeCloseTo(scales.y((10 * 0.45359237) / 60), 2);
    expect(acrossTicks(usual, chart.flowAxis.perKgPerS).some(({ text }) => text === '10')).toBe(true);
  });
});
