import { describe, expect, it } from 'vitest';
import type { MapChart } from '../../src/plot/charts/map-model.ts';
import { speedLabelChanges } from '../../src/plot/marks/map-surface.ts';
import { inventedChart } from './invented-map.ts';

const chart = inventedChart();
const withLabel = (index: number, label: string): MapChart => ({
  ...chart,
  speedLines: chart.speedLines.map((line, i) => (i === index ? { ...line, label } : line)),
});

describe('the difference between two charts', () => {
  it('is a map from old to new label when a digit changes', () => {
    const old = chart.speedLines[2]!.label;
    const next = old.replace(/\d(?=\D*$)/, '7');
    expect(speedLabelChanges(chart, withLabel(2, next))).toEqual(new Map([[old, next]]));
    expect(speedLabelChanges(chart, { ...chart })).toEqual(new Map());
  });

  it('is more than labels when a width, a line, an island, an axis or the limit is another', () => {
    expect(speedLabelChanges(chart, withLabel(2, `1${chart.speedLines[2]!.label}`))).toBeNull();
    expect(speedLabelChanges(chart, { ...chart, speedLines: chart.speedLines.slice(1) })).toBeNull();
    expect(speedLabelChanges(chart, { ...chart, islands: chart.islands.slice(1) })).toBeNull();
    expect(speedLabelChanges(chart, { ...chart, surgeLine: [...chart.surgeLine] })).toBeNull();
    expect(speedLabelChanges(chart, { ...chart, flowAxis: { ...chart.flowAxis, unit: 'lb/min' } })).toBeNull();
    expect(speedLabelChanges(chart, { ...chart, ratedSpeedLine: { pieces: [], label: 'limit' } })).toBeNull();
    expect(speedLabelChanges(chart, { ...chart, speedLabelNote: 'other' })).toBeNull();
  });

  it('is more than labels when two lines share one, since the texts could not be told apart', () => {
    const twin = withLabel(2, chart.speedLines[3]!.label);
    expect(speedLabelChanges(twin, { ...twin })).toBeNull();
  });
});
