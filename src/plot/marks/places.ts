import type { FlowAndRatio } from '../../compressor/types.ts';
import {
  type FlowAxis,
  type MapReadout,
  type MapScales,
  type MapStage,
  type PlotMeasured,
  type PlotPlace,
  readoutDecimals,
  toPixel,
} from '../charts/map-model.ts';
import { type Compass, spotsAround } from '../frame/labels.ts';
import { type Palette, severityOutline } from '../frame/looks.ts';
import { inked, type Mark, middle, placed, type Shape, type StyledRequest } from '../frame/mark.ts';
import { drawNodes, type Group, writeAttributes, writeText } from '../frame/nodes.ts';
import { linePath, type PixelFrame, type PixelPoint, rounded, TICK_FONT, textWidth } from '../frame/pixels.ts';

function colourOf({ severity }: PlotPlace, palette: Palette): string {
  return severity === 'note' ? palette.inkSoft : palette[severity];
}

/** Four ticks that point inwards: found by the eye without anything blinking. */
function pointers({ x, y }: PixelPoint): string {
  const across = (from: number) => [from, from + 6].map((dx) => ({ x: x + dx, y }));
  const up = (from: number) => [from, from + 6].map((dy) => ({ x, y: y + dy }));
  return linePath([across(-19), across(13), up(-19), up(13)]);
}

const SIDES: readonly Compass[] = ['ne', 'se', 'nw', 'sw', 'e', 'w', 'n', 's'];

/** The places that findings point at; one whose data is not finite is not drawn. */
export const mapPlaces: Mark<{ places: readonly PlotPlace[] }, MapStage> = {
  render({ places }, scales, { palette, taken }) {
    const shown = places
      .map((place) => ({ place, ...toPixel(scales, place.at) }))
      .filter(({ x, y }) => Number.isFinite(x) && Number.isFinite(y))
      .sort((a, b) => Number(a.place.highlighted) - Number(b.place.highlighted));
    const requests = shown.toReversed().map(
      ({ place, ...at }): StyledRequest => ({
        key: place.id,
        text: place.label,
        bold: true,
        spots: place.label === '' ? [] : [16, 26].flatMap((reach, far) => spotsAround(at, reach, SIDES, 0.2, far * 2)),
        fill: colourOf(place, palette),
        weight: 600,
      }),
    );
    return {
      nodes: {
        places: (group) =>
          drawNodes(group, 'path', shown, (node, at) => {
            const { id, severity, highlighted } = at.place;
            writeAttributes(node, {
              'data-place': id,
              d: highlighted ? severityOutline(severity, at, 11) + pointers(at) : severityOutline(severity, at),
              stroke: colourOf(at.place, palette),
              'stroke-width': highlighted ? 2.4 : 1.5,
              fill: 'transparent',
              style: 'cursor: pointer;',
            });
          }),
      },
      labels: { places: placed(requests, scales.frame, { taken }) },
    };
  },
};

interface Tag {
  x: number;
  y: number;
  width: number;
  height: number;
  lines: readonly string[];
  inverse: boolean;
}

const ROW = 16;
const PAD = 7;

function axisTags(at: PixelPoint, read: FlowAndRatio, scales: MapScales, axis: FlowAxis): Tag[] {
  const { frame } = scales;
  const acrossStep = Math.abs(scales.x.invert(1) - scales.x.invert(0));
  const upStep = Math.abs(scales.y.invert(1) - scales.y.invert(0));
  const flowStep = (scales.isFlowUp ? upStep : acrossStep) * axis.perKgPerS;
  const ratioStep = scales.isFlowUp ? acrossStep : upStep;
  const flowNumber = (read.correctedMassFlowKgPerS * axis.perKgPerS).toFixed(readoutDecimals(flowStep));
  // Beside the upright axis there is room for the number only; the axis says its unit.
  const flow = scales.isFlowUp ? flowNumber : `${flowNumber} ${axis.unit}`;
  const ratio = read.pressureRatio.toFixed(readoutDecimals(ratioStep));
  const [across, up] = scales.isFlowUp ? [ratio, flow] : [flow, ratio];
  const acrossWidth = textWidth(across, TICK_FONT) + 10;
  const upWidth = textWidth(up, TICK_FONT) + 10;
  const acrossX = Math.min(Math.max(at.x - acrossWidth / 2, frame.left), frame.right - acrossWidth);
  return [
    { x: acrossX, y: frame.bottom + 4, width: acrossWidth, height: ROW + 2, lines: [across], inverse: true },
    {
      x: frame.left - upWidth - 4,
      y: at.y - ROW / 2 - 1,
      width: upWidth,
      height: ROW + 2,
      lines: [up],
      inverse: true,
    },
  ];
}

/**
 * In the corner left of surge, which a map leaves empty, so that it neither covers what is read nor moves with the pointer; in the
 * opposite corner, beyond choke, while the point itself is there.
 */
function callout(at: PixelPoint, lines: readonly string[], frame: PixelFrame): Tag {
  const width = Math.max(...lines.map((line, row) => textWidth(line, TICK_FONT, row === 0))) + 2 * PAD;
  const height = lines.length * ROW + PAD;
  const isInCorner = at.x < frame.left + width + 24 && at.y < frame.top + height + 24;
  const x = isInCorner ? frame.right - width - 6 : frame.left + 6;
  const y = isInCorner ? frame.bottom - height - 6 : frame.top + 6;
  return { x, y, width, height, lines, inverse: false };
}

function drawTags(group: Group, tags: readonly Tag[], palette: Palette): void {
  drawNodes(group, 'rect', tags, (node, { x, y, width, height, inverse }) =>
    writeAttributes(node, {
      x: rounded(x),
      y: rounded(y),
      width: rounded(width),
      height: rounded(height),
      rx: 2,
      fill: inverse ? palette.ink : palette.raised,
      stroke: inverse ? 'none' : palette.frame,
    }),
  );
  const texts = tags.flatMap((tag) =>
    tag.lines.map((text, row) => ({
      text,
      x: tag.x + (tag.inverse ? 5 : PAD),
      y: tag.y + (tag.inverse ? 1 : PAD / 2) + ROW * (row + 0.5),
      inverse: tag.inverse,
      isFirst: row === 0,
    })),
  );
  drawNodes(group, 'text', texts, (node, { text, x, y, inverse, isFirst }) => {
    writeAttributes(node, {
      x: rounded(x),
      y: rounded(y + middle(TICK_FONT)),
      'font-size': TICK_FONT,
      'font-weight': !inverse && isFirst ? 600 : 400,
      fill: inverse ? palette.paper : palette.ink,
    });
    writeText(node, text);
  });
}

interface MapReading {
  readout: Pick<MapReadout, 'at'> | null;
  /** A place that is read out from outside while the map itself reads none. */
  focus: FlowAndRatio | null;
  /** Said beside the point; the first line is the heading. */
  lines: readonly string[];
  flowAxis: FlowAxis;
  /** The page says what is read: no tags on the axes, no words in a corner. */
  isBare: boolean;
}

/** Crosshair, values on the axes and the described lines in a corner. A point outside the frame is not drawn. */
export const mapReadout: Mark<MapReading, MapStage> = {
  render({ readout, focus, lines, flowAxis, isBare }, scales, { palette }) {
    const { left, right, top, bottom } = scales.frame;
    const read = readout?.at ?? focus;
    const at = read && toPixel(scales, read);
    const isShown = at !== null && at.x >= left && at.x <= right && at.y >= top && at.y <= bottom;
    if (!at || !read || !isShown) {
      return { shapes: { readout: [] }, nodes: { readout: (group) => drawTags(group, [], palette) } };
    }
    const [x, y] = [rounded(at.x), rounded(at.y)];
    const line = { fill: 'none', stroke: palette.ink, width: 0.8, strokeOpacity: 0.4 };
    const tags = isBare ? [] : axisTags(at, read, scales, flowAxis);
    if (lines.length > 0 && !isBare) tags.push(callout(at, lines, scales.frame));
    return {
      shapes: {
        readout: [
          { ...line, d: `M${left},${y}H${rounded(x - 7)}M${rounded(x + 7)},${y}H${right}` },
          { ...line, d: `M${x},${top}V${rounded(y - 7)}M${x},${rounded(y + 7)}V${bottom}` },
          { ...line, d: `M${rounded(x - 5)},${y}a5,5 0 1,0 10,0a5,5 0 1,0 -10,0Z`, width: 1.6, strokeOpacity: 1 },
        ],
      },
      nodes: { readout: (group) => drawTags(group, tags, palette) },
    };
  },
};

const circle = ({ x, y }: PixelPoint, radius: number) =>
  `M${rounded(x - radius)},${rounded(y)}a${radius},${radius} 0 1,0 ${2 * radius},0a${radius},${radius} 0 1,0 ${-2 * radius},0Z`;
const cross = ({ x, y }: PixelPoint) =>
  linePath([
    [
      { x: x - 3, y: y - 3 },
      { x: x + 3, y: y + 3 },
    ],
    [
      { x: x - 3, y: y + 3 },
      { x: x + 3, y: y - 3 },
    ],
  ]);

/**
 * Rows of a road log: full dots where the map meters well, hollow ones where it does so weakly, crosses for rows that are kept out; each with
 * its band along the flow. Where only the ratio is known the band stands alone.
 */
export const measuredRows: Mark<{ measured: readonly PlotMeasured[] }, MapStage> = {
  render({ measured }, scales, { palette }) {
    const at = (flow: number, pressureRatio: number) =>
      toPixel(scales, { correctedMassFlowKgPerS: flow, pressureRatio });
    const dots = { good: '', weak: '', out: '' };
    let bands = '';
    let bars = '';
    for (const { flowKgPerS, pressureRatio, band, kind } of measured) {
      const ends = band?.map((flow) => at(flow, pressureRatio)) ?? [];
      if (ends.length === 2 && ends.every(({ x, y }) => Number.isFinite(x) && Number.isFinite(y))) {
        if (kind === 'ratio') bars += linePath([ends]);
        else bands += linePath([ends]);
      }
      if (flowKgPerS === null || kind === 'ratio') continue;
      const place = at(flowKgPerS, pressureRatio);
      if (!Number.isFinite(place.x) || !Number.isFinite(place.y)) continue;
      dots[kind] += kind === 'out' ? cross(place) : circle(place, 2.6);
    }
    const { ink, inkFaint, paper } = palette;
    const shapes: Shape[] = [
      { d: bars, stroke: inkFaint, width: 1, dash: '2 3', fill: 'none' },
      { d: bands, stroke: ink, width: 0.8, strokeOpacity: 0.45, fill: 'none' },
      { d: dots.out, stroke: inkFaint, width: 1.1, fill: 'none' },
      { d: dots.weak, stroke: ink, width: 1.1, fill: paper },
      { d: dots.good, stroke: paper, width: 0.6, fill: ink },
    ];
    return { shapes: { measured: inked(shapes) } };
  },
};
