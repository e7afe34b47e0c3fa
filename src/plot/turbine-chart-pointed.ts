import { candidateLook, candidateMarker } from './candidate-look.ts';
import { joinNodes } from './drawing.ts';
import { type LabelSurroundings, placeLabels } from './label-placement.ts';
import { spotsAround } from './label-spots.ts';
import type { Palette } from './palette.ts';
import { rounded } from './pixel-path.ts';
import { CHART_FONT, type SmallChart, speedText, valueText } from './small-chart.ts';
import type { SmallChartLayers } from './small-chart-layers.ts';
import { drawLabels } from './text-nodes.ts';
import { type EnginePixel, enginePixels } from './turbine-chart-geometry.ts';
import type { PlotTurbineEngine, PlotTurbinePoint, TurbineChartModel } from './turbine-chart-model.ts';

/** The point of an engine at the computed engine speed nearest to one; null where it has none. */
export function pointNear({ points }: PlotTurbineEngine, engineSpeedRpm: number): PlotTurbinePoint | null {
  let best: PlotTurbinePoint | null = null;
  for (const point of points) {
    if (point === null) continue;
    const isNearer =
      best === null || Math.abs(point.engineSpeedRpm - engineSpeedRpm) < Math.abs(best.engineSpeedRpm - engineSpeedRpm);
    if (isNearer) best = point;
  }
  return best;
}

/** Share of the exhaust through the gate, in words: 'gate shut', 'gate 12 %'. */
export function gateText({ flow, wholeExhaust }: PlotTurbinePoint): string {
  const share = 1 - flow / wholeExhaust;
  return share < 5e-4 ? 'gate shut' : `gate ${valueText(share * 100, 0, '%')}`;
}

/** 'At 3,500 rpm, A expansion ratio 1.85, 0.043 kg/s, gate 12 %' */
export function turbineText(model: TurbineChartModel, engineSpeedRpm: number): string {
  const { decimals, unit } = model.flowAxis;
  const said = model.engines.flatMap((engine) => {
    const point = pointNear(engine, engineSpeedRpm);
    if (point === null) return [];
    return `${engine.letter} expansion ratio ${valueText(point.expansionRatio, 2, '')}, ${valueText(point.flow, decimals, unit)}, ${gateText(point)}`;
  });
  return [`At ${speedText(engineSpeedRpm)}`, ...said].join(', ');
}

/** Heights beside a stem where its share may stand, best first. */
function besideStem(foot: number, head: number): number[] {
  return [head - 4, (foot + head) / 2, foot + 8, head - 22, foot + 26, foot + 44];
}

/** The engine speed pointed at: its point in full, what goes through the gate as a heavy stem, and its share. */
export function drawTurbinePointed(
  layers: SmallChartLayers,
  model: TurbineChartModel,
  chart: SmallChart,
  palette: Palette,
  around: LabelSurroundings,
): void {
  const { focusRpm } = model;
  const pointed = model.engines.flatMap((engine): { engine: PlotTurbineEngine; at: EnginePixel }[] => {
    const point = focusRpm === null ? null : pointNear(engine, focusRpm);
    const [at] = point === null ? [] : enginePixels({ ...engine, points: [point] }, chart);
    return at ? [{ engine, at }] : [];
  });
  const { top } = chart.frame;
  const paths = pointed.flatMap(({ engine: { style }, at }) => {
    const { colour } = candidateLook(style, palette);
    const x = rounded(at.x);
    const whole = `M${rounded(x - 5)},${rounded(at.wholeY)}h10`;
    // A whole exhaust out of sight has a stem that runs to the edge and does not end there.
    const stem = `M${x},${rounded(at.y)}V${rounded(Math.max(top, at.wholeY))}${at.wholeY < top ? '' : whole}`;
    return [
      { d: at.y - at.wholeY > 1 ? stem : '', stroke: colour, width: 2.2, fill: 'none' },
      { d: candidateMarker(style, at, 5.5), stroke: palette.paper, width: 1.2, fill: colour },
    ].filter(({ d }) => d !== '');
  });
  joinNodes(layers.pointed, 'path', paths)
    .attr('d', (d) => d.d)
    .attr('stroke', (d) => d.stroke)
    .attr('stroke-width', (d) => d.width)
    .attr('fill', (d) => d.fill);
  const labels = placeLabels(
    pointed.map(({ engine, at }) => ({
      key: engine.id,
      text: `${valueText(at.point.engineSpeedRpm, 0, '')}: ${gateText(at.point)}`,
      fontSize: CHART_FONT,
      bold: true,
      spots: besideStem(at.y, Math.max(top, at.wholeY)).flatMap((y, i) =>
        spotsAround({ x: at.x, y }, 9, ['n', 'e', 'w', 's'], 0.2, i),
      ),
    })),
    {
      ...around,
      taken: [...around.taken, ...pointed.map(({ at }) => ({ x: at.x, y: at.y, width: 12, height: 12, angle: 0 }))],
    },
  );
  const styles = new Map(pointed.map(({ engine }) => [engine.id, engine.style]));
  drawLabels(layers.pointed, labels, palette.paper, ({ key }) => ({
    fill: candidateLook(styles.get(key) ?? 'a', palette).colour,
    weight: 600,
  }));
}
