import { joinNodes } from './drawing.ts';
import type { LabelBox } from './label-box.ts';
import { type LabelRequest, type PlacedLabel, placeLabels } from './label-placement.ts';
import { type Compass, spotsAround } from './label-spots.ts';
import type { LineChartModel, LineStyle } from './line-chart-model.ts';
import type { SeriesRuns } from './line-chart-nodes.ts';
import { spanRequests } from './line-chart-spans.ts';
import { lineLook } from './line-look.ts';
import type { Palette } from './palette.ts';
import { rounded } from './pixel-path.ts';
import type { PixelPoint } from './pixel-point.ts';
import { CHART_FONT, type SmallChart } from './small-chart.ts';
import type { SmallChartLayers } from './small-chart-layers.ts';
import { drawLabels } from './text-nodes.ts';
import { textWidth } from './text-width.ts';

const LIMIT_ORDER: readonly Compass[] = ['n', 's'];
const ABOVE: readonly Compass[] = ['n', 'nw', 's', 'sw', 'ne', 'se'];
const BELOW: readonly Compass[] = ['s', 'sw', 'n', 'nw', 'se', 'ne'];
const NAME_ORDER: Readonly<Record<LineStyle, readonly Compass[]>> = {
  a: ABOVE,
  b: BELOW,
  plain: ABOVE,
  goal: BELOW,
  dashed: BELOW,
};

function longestRun({ runs }: SeriesRuns): PixelPoint[] {
  return runs.reduce((best, next) => (next.length > best.length ? next : best), [] as PixelPoint[]);
}

function alongRequests(all: readonly SeriesRuns[]): LabelRequest[] {
  return all
    .filter(({ series }) => series.name !== '')
    .map((one) => {
      const { series } = one;
      const run = longestRun(one);
      const spots = [0.9, 0.97, 0.78, 0.64, 0.5, 0.36, 0.22, 0.1].flatMap((share, i) => {
        const at = run[Math.round(share * (run.length - 1))];
        if (!at) return [];
        return [9, 18].flatMap((reach, far) =>
          spotsAround(at, reach, NAME_ORDER[series.style], 0.4, i * 0.7 + far * 2),
        );
      });
      return { key: series.id, text: series.name, fontSize: CHART_FONT, bold: true, spots };
    });
}

function limitRequests(model: LineChartModel, chart: SmallChart): LabelRequest[] {
  const { left, right } = chart.frame;
  return model.limits
    .filter((limit) => Number.isFinite(limit.value))
    .map((limit, index) => ({
      key: `limit:${index}`,
      text: limit.label,
      fontSize: CHART_FONT,
      bold: true,
      spots: [0.01, 0.2, 0.4, 0.6, 0.75].flatMap((share, i) =>
        spotsAround({ x: left + 4 + share * (right - left), y: chart.y(limit.value) }, 7, LIMIT_ORDER, 1, i * 0.5).map(
          (spot) => ({ ...spot, anchor: 'start' as const }),
        ),
      ),
    }));
}

/** Room that names at the ends of lines need right of the frame. */
export function endNamesRoom(model: LineChartModel): number {
  if (model.names !== 'end') return 20;
  return 18 + Math.ceil(Math.max(0, ...model.series.map(({ name }) => textWidth(name, CHART_FONT, true))));
}

const ROW = CHART_FONT * 1.15;

interface EndName extends PlacedLabel {
  /** From the end of the line to the name, where the name had to stand off. */
  leader: string;
}

/** Names at the ends of their lines, moved apart so that none covers another; each keeps the order of its line. */
function endNames(all: readonly SeriesRuns[], chart: SmallChart): EndName[] {
  const { right, top, bottom } = chart.frame;
  const named = all
    .flatMap(({ series, runs }) => {
      const end = runs.at(-1)?.at(-1);
      return end === undefined || series.name === '' ? [] : [{ series, end, y: end.y }];
    })
    .sort((a, b) => a.end.y - b.end.y);
  let least = top + ROW / 2;
  for (const one of named) {
    one.y = Math.max(one.y, least);
    least = one.y + ROW;
  }
  let most = bottom - ROW / 2;
  for (const one of named.toReversed()) {
    one.y = Math.min(one.y, most);
    most = one.y - ROW;
  }
  return named.map(({ series, end, y }) => ({
    key: series.id,
    text: series.name,
    x: right + 10,
    y,
    anchor: 'start' as const,
    angle: 0,
    fontSize: CHART_FONT,
    box: { x: right + 10, y, width: textWidth(series.name, CHART_FONT, true), height: ROW, angle: 0 },
    spot: 0,
    leader: `M${rounded(end.x + 2)},${rounded(end.y)}L${rounded(right + 8)},${rounded(y)}`,
  }));
}

/** Names of series and limits; gives back where they stand. */
export function drawLineLabels(
  layers: SmallChartLayers,
  all: readonly SeriesRuns[],
  model: LineChartModel,
  chart: SmallChart,
  palette: Palette,
): readonly LabelBox[] {
  const lines = [
    ...all.flatMap(({ runs }) => runs.map((points) => ({ points, weight: 4 }))),
    ...model.limits.map(({ value }) => ({
      points: [chart.frame.left, chart.frame.right].map((x) => ({ x, y: chart.y(value) })),
      weight: 3,
    })),
  ];
  const spans = model.spans ?? [];
  const ends = model.names === 'end' ? endNames(all, chart) : [];
  const names = model.names === 'end' ? [] : alongRequests(all);
  const placed = placeLabels([...limitRequests(model, chart), ...spanRequests(spans, chart), ...names], {
    frame: chart.frame,
    taken: [],
    lines,
  });
  const colours = new Map<string, string>([
    ...model.limits.map((limit, index): [string, string] => [`limit:${index}`, palette[limit.severity]]),
    ...model.series.map((one): [string, string] => [one.id, nameColour(one, palette)]),
    ...spans.map(({ id, style }): [string, string] => [
      `span:${id}`,
      lineLook({ style, weight: 'main' }, palette).colour,
    ]),
  ]);
  const colourOf = (key: string) => colours.get(key) ?? palette.ink;
  joinNodes(layers.labels, 'path', ends)
    .attr('d', (d) => d.leader)
    .attr('fill', 'none')
    .attr('stroke', (d) => colourOf(d.key))
    .attr('stroke-width', 0.8);
  drawLabels(layers.labels, [...placed, ...ends], palette.paper, (label) => ({
    fill: colourOf(label.key),
    weight: 600,
  }));
  return placed.map(({ box }) => box);
}

/** A name is always in the full colour: text must be readable where its line is pale. */
function nameColour(series: LineChartModel['series'][number], palette: Palette): string {
  return lineLook({ ...series, shade: 1 }, palette).colour;
}
