// @vitest-environment jsdom
import { describe, expect, it } from 'vitest';
import { createMapPlot, exportMapSvg, lightPalette, type MapPlotModel, sharedAxes } from '../../src/plot/index.ts';
import { inventedChart, inventedModel } from './invented-map.ts';

const SIZE = { width: 700, height: 500 };

function plotOf(model: MapPlotModel) {
  const svg = document.createElementNS('http://www.w3.org/2000/svg', 'svg') as SVGSVGElement;
  const plot = createMapPlot(svg, lightPalette, {}, SIZE);
  plot.update(model);
  return { svg, plot };
}

const wider = inventedChart(5, {
  letter: 'B',
  extent: { minFlowKgPerS: 0, maxFlowKgPerS: 0.52, minPressureRatio: 1, maxPressureRatio: 3.2 },
});

describe('two maps', () => {
  it('stand on the very same axes, which hold all of both', () => {
    const models = [inventedModel(), inventedModel({ chart: wider })];
    const axes = sharedAxes(models);
    const scales = models.map((model) => plotOf({ ...model, axes, wordsElsewhere: true }).plot.scales()!);
    expect(scales[0]!.frame).toEqual(scales[1]!.frame);
    expect(scales[0]!.x.domain()).toEqual(scales[1]!.x.domain());
    expect(scales[0]!.y.domain()).toEqual(scales[1]!.y.domain());
    expect(axes.maxFlowKgPerS).toBeGreaterThan(0.52);
    expect(axes.maxPressureRatio).toBeGreaterThan(3.75);
  });

  it('leave the legend to the page on screen, and have one in a file all the same', () => {
    const model = inventedModel({ wordsElsewhere: true });
    expect(plotOf(model).svg.querySelectorAll('g.legend text')).toHaveLength(0);
    const sheet = { size: SIZE, palette: lightPalette, title: 'T', description: '', provenance: '', caution: '' };
    expect(exportMapSvg(model, sheet)).toContain('A: Larch');
  });

  it('drawn over each other: the second in dashes, named, and taken off again', () => {
    const model = inventedModel({ chart: inventedChart(8, { letter: 'A' }) });
    const { svg, plot } = plotOf({ ...model, second: wider });
    const strokes = [...svg.querySelectorAll('g.second-surface path')];
    expect(strokes.length).toBeGreaterThan(6);
    expect(strokes.filter((stroke) => stroke.getAttribute('stroke-dasharray') === null)).toEqual([]);
    const texts = [...svg.querySelectorAll('text')].map((text) => text.textContent);
    expect(texts).toContain('surge line A');
    expect(texts).toContain('surge line B');
    plot.update(model);
    expect(svg.querySelectorAll('g.second-surface path, g.second-labels text')).toHaveLength(0);
  });
});
