import type { ZoomTransform } from 'd3';
import type { FlowAndRatio, IslandContour, MapPolyline } from '../../compressor/types.ts';
import { memory } from '../../numerics/index.ts';
import { type Axes, type LinearScale, linearScale, type Tick, ticksOf } from '../frame/axes.ts';
import type { CandidateStyle } from '../frame/looks.ts';
import {
  LABEL_FONT,
  type PixelFrame,
  type PixelPoint,
  type PlotSize,
  TICK_FONT,
  TITLE_FONT,
  textWidth,
} from '../frame/pixels.ts';

/**
 * What the map plot draws, in data units (corrected kg/s and pressure ratio). The same model feeds screen, file and paper.
 *
 * Rules that hold for every list of points:
 * - points are drawn as they stand, joined by straight segments; the sampling density is the model's;
 * - a point that is null or not finite breaks the line, and is never drawn;
 * - everything is compared by identity: keep `chart` (and its lists) the same object while the map itself has not changed,
 *   and only the layers whose part of the model was replaced are drawn anew.
 */
export interface MapPlotModel {
  /** The map itself: drawn again only when this object is replaced. */
  chart: MapChart;
  operatingLines: readonly PlotOperatingLine[];
  /** Places that a finding or the audit points at. */
  places: readonly PlotPlace[];
  /** Rows of a road log, over the lines. */
  measured?: readonly PlotMeasured[] | undefined;
  /** Read-out point set from outside (a table row, a linked chart). The pointer's own read-out has precedence while it is on the plot. */
  focus: FlowAndRatio | null;
  /** Another candidate's map drawn over the first in its own dash and colour, at the same reference state; its islands are not drawn. */
  second?: MapChart | undefined;
  /** Exactly these axes (sharedAxes), so that maps side by side stand on equal ones; left out: the chart's own, with room for its labels. */
  axes?: PlotExtent | undefined;
  /** True: the page around the drawing says what its lines are and what is read. Files and paper have a legend all the same. */
  wordsElsewhere?: boolean | undefined;
}

/** The layers that do not move with the engine. */
export interface MapChart {
  /** 'A': stands with the names of its surge line and choke end where two maps share a plot. */
  letter?: string | undefined;
  flowAxis: FlowAxis;
  ratioAxis: { title: string };
  /** True: the ratio runs across and the flow up, as turbine sheets are drawn. Left out: flow across, ratio up. */
  isFlowUp?: boolean | undefined;
  /** Data box shown when nothing is zoomed; the plot adds room for labels outside it. */
  extent: PlotExtent;
  speedLines: readonly PlotSpeedLine[];
  /** What the speed labels are, for the legend: 'Speed lines: shaft speed, rpm, at 24 °C inlet'. */
  speedLabelNote: string;
  surgeLine: readonly MapPolyline[];
  chokeEnd: readonly MapPolyline[];
  islands: readonly PlotIsland[];
  /** What the island labels are, for the legend: 'Efficiency islands: total to total, %'. */
  islandLabelNote: string;
  /** The maker's maximum physical speed brought to the day's inlet temperature. null: no limit entered. */
  ratedSpeedLine: { pieces: readonly MapPolyline[]; label: string } | null;
  /** Points as entered on the sheet, small crosses (Maps view); empty elsewhere. */
  sheetPoints: readonly FlowAndRatio[];
}

export interface FlowAxis {
  /** 'Corrected air flow'. */
  title: string;
  /** 'kg/s', 'lb/min', 'm³/s', 'cfm'. */
  unit: string;
  /** Axis value = perKgPerS x corrected kg/s (volume flows: at the reference state). > 0. */
  perKgPerS: number;
}

export interface PlotExtent {
  minFlowKgPerS: number;
  maxFlowKgPerS: number;
  minPressureRatio: number;
  maxPressureRatio: number;
}

export interface PlotSpeedLine {
  /** '120,000': shaft or corrected speed, as the model chooses. */
  label: string;
  kind: 'entered' | 'extended';
  /** From surge to choke. */
  points: readonly FlowAndRatio[];
  /** The line stands at the maker's maximum speed: drawn heavier. */
  isRated: boolean;
}

export interface PlotIsland {
  contour: IslandContour;
  /** '74 %' */
  label: string;
}

export interface PlotOperatingLine {
  id: string;
  /** Shown in the legend. */
  name: string;
  /** 'A': stands with the names of the line's parts where two lines share a plot. */
  letter?: string | undefined;
  style: CandidateStyle;
  /** The exhaust that drives it is known: the legend explains what a turbine-limited part looks like. */
  driven?: boolean | undefined;
  /** The size of its wastegate is known: the legend explains what a part that creeps looks like. */
  gated?: boolean | undefined;
  /** In rising engine speed. null where an engine speed has no operating point: the line breaks. */
  points: readonly (PlotOperatingPoint | null)[];
  /** Another line than the one that the map is about (another altitude): thin and pale, its name at its end, no marks. */
  faint?: boolean | undefined;
  /** How far tolerances move single points: bars along both axes. */
  spread?: readonly PlotSpread[] | undefined;
}

/** From the 10th to the 90th of a hundred, about one operating point. */
export interface PlotSpread {
  correctedMassFlowKgPerS: { low: number; middle: number; high: number };
  pressureRatio: { low: number; middle: number; high: number };
}

/** 'turbine': the gate is shut and the goal is not reached. 'creep': the gate is wide open, the boost over the goal. 'ceiling': at the goal a limit is crossed. */
export type LinePart = 'turbine' | 'creep' | 'ceiling';

export interface PlotOperatingPoint extends FlowAndRatio {
  engineSpeedRpm: number;
  /** The map answered outside its entered lines: the line is dotted here. */
  extended: boolean;
  /** Gets a marker and an engine-speed label. */
  marked: boolean;
  /** What holds the boost here where it is not the goal: hollow for the turbine, beaded for the open gate, with ticks where a limit is crossed at the goal. */
  part?: LinePart | undefined;
  /** A limit is crossed here: the marker is ringed. */
  severity?: 'stop' | 'caution' | undefined;
  /** The demand of an engine speed that has no operating point: drawn as an open cross, never joined to the line. */
  unmet?: boolean | undefined;
}

export interface PlotPlace {
  id: string;
  at: FlowAndRatio;
  severity: 'stop' | 'caution' | 'note' | 'good';
  /** One word or number beside the mark; '' for none. */
  label: string;
  /** Chosen in the list of findings: drawn larger, with a ring. */
  highlighted: boolean;
}

/** A row of a road log on the map. */
export interface PlotMeasured {
  /** null: no meter gives the flow; the row keeps its place on the ratio axis. */
  flowKgPerS: number | null;
  pressureRatio: number;
  /** Corrected flow from and to, kg/s. */
  band: readonly [number, number] | null;
  /** How well its flow is known; 'out': kept out of what is learnt; 'ratio': only the ratio is known. */
  kind: 'good' | 'weak' | 'out' | 'ratio';
}

/** The operating point that the read-out stands on. */
export interface NearPoint {
  lineId: string;
  /** Index into the line's points. */
  index: number;
  engineSpeedRpm: number;
}

/** What is being read: a place of the map, or an operating point of one engine speed. */
export interface MapReadout {
  at: FlowAndRatio;
  near: NearPoint | null;
  source: 'pointer' | 'keyboard' | 'model';
}

export interface MapScales {
  frame: PixelFrame;
  /** What runs across to pixels: corrected kg/s; the ratio where `isFlowUp`. */
  x: LinearScale;
  /** What runs up to pixels: the ratio; corrected kg/s where `isFlowUp`. */
  y: LinearScale;
  /** True: the ratio runs across and the flow up. */
  isFlowUp: boolean;
}

const TICK_LENGTH = 5;

/** Where a map is drawn: zoomed axes, and whether all of them is in sight. */
export interface MapStage extends Axes, MapScales {
  isFlowUp: boolean;
  /** Nothing is zoomed: points outside the axes are pointed to. */
  isWhole: boolean;
}

/** The frame that leaves room for ticks, titles and a legend of that height; never smaller than 40 x 40 pixels. */
export function plotFrame(size: PlotSize, legendHeight: number, isFlowUp = false): PixelFrame {
  // Flows have more digits than ratios.
  const left = Math.ceil(
    6 + TITLE_FONT * 1.3 + 4 + textWidth(isFlowUp ? '0.234' : '2.34', TICK_FONT) + TICK_LENGTH + 4,
  );
  const bottom = Math.ceil(TICK_LENGTH + 4 + TICK_FONT * 1.2 + 6 + TITLE_FONT * 1.3 + 4);
  const top = Math.ceil(legendHeight === 0 ? 12 : legendHeight + 16);
  return {
    left,
    top,
    right: Math.max(left + 40, size.width - 18),
    bottom: Math.max(top + 40, size.height - bottom),
  };
}

/** The extent as it may be drawn: an empty or impossible one becomes 0..1 kg/s by 1..2, so that a new sheet has axes. */
function usableExtent(extent: PlotExtent): PlotExtent {
  const flowFits = Number.isFinite(extent.minFlowKgPerS) && extent.maxFlowKgPerS > extent.minFlowKgPerS;
  const ratioFits = Number.isFinite(extent.minPressureRatio) && extent.maxPressureRatio > extent.minPressureRatio;
  return {
    minFlowKgPerS: flowFits ? extent.minFlowKgPerS : 0,
    maxFlowKgPerS: flowFits && Number.isFinite(extent.maxFlowKgPerS) ? extent.maxFlowKgPerS : 1,
    minPressureRatio: ratioFits ? extent.minPressureRatio : 1,
    maxPressureRatio: ratioFits && Number.isFinite(extent.maxPressureRatio) ? extent.maxPressureRatio : 2,
  };
}

/** Unzoomed scales: a usable extent, with room on the right for speed labels and above for the top line's. */
export function baseScales(chart: MapChart, extent: PlotExtent, frame: PixelFrame): MapScales {
  const widest = chart.speedLines.reduce((most, line) => Math.max(most, textWidth(line.label, LABEL_FONT)), 0);
  const width = frame.right - frame.left;
  const height = frame.bottom - frame.top;
  const right = Math.min(widest + 12, width * 0.3);
  const top = Math.min(26, height * 0.2);
  const isFlowUp = chart.isFlowUp === true;
  const { across, up } = domainsOf(extent, isFlowUp);
  return {
    frame,
    x: linearScale(
      [across[0], across[0] + (across[1] - across[0]) * (width / (width - right))],
      [frame.left, frame.right],
    ),
    y: linearScale([up[0], up[0] + (up[1] - up[0]) * (height / (height - top))], [frame.bottom, frame.top]),
    isFlowUp,
  };
}

function domainsOf(extent: PlotExtent, isFlowUp: boolean): { across: [number, number]; up: [number, number] } {
  const flow: [number, number] = [extent.minFlowKgPerS, extent.maxFlowKgPerS];
  const ratio: [number, number] = [extent.minPressureRatio, extent.maxPressureRatio];
  return isFlowUp ? { across: ratio, up: flow } : { across: flow, up: ratio };
}

/** Unzoomed scales of exactly that box. */
export function exactScales(axes: PlotExtent, frame: PixelFrame, isFlowUp = false): MapScales {
  const { across, up } = domainsOf(axes, isFlowUp);
  return {
    frame,
    x: linearScale(across, [frame.left, frame.right]),
    y: linearScale(up, [frame.bottom, frame.top]),
    isFlowUp,
  };
}

/** What of d3's transform is needed to zoom scales. */
export type Zoomed = Pick<ZoomTransform, 'k' | 'invertX' | 'invertY'>;

/** The scales as zoomed and panned: domains change, line widths and texts do not. */
export function zoomedScales(base: MapScales, transform: Zoomed): MapScales {
  const { frame, x, y } = base;
  const [left, right] = [frame.left, frame.right].map((at) => x.invert(transform.invertX(at))) as [number, number];
  const [bottom, top] = [frame.bottom, frame.top].map((at) => y.invert(transform.invertY(at))) as [number, number];
  return { ...base, x: linearScale([left, right], x.range()), y: linearScale([bottom, top], y.range()) };
}

/** Where a data point stands, in pixels (not finite for data that is not finite). */
export function toPixel(scales: MapScales, point: FlowAndRatio): PixelPoint {
  const { correctedMassFlowKgPerS: flow, pressureRatio: ratio } = point;
  return scales.isFlowUp ? { x: scales.x(ratio), y: scales.y(flow) } : { x: scales.x(flow), y: scales.y(ratio) };
}

/** The data point under a pixel. */
export function toData(scales: MapScales, pixel: PixelPoint): FlowAndRatio {
  const [across, up] = [scales.x.invert(pixel.x), scales.y.invert(pixel.y)];
  return scales.isFlowUp
    ? { correctedMassFlowKgPerS: up, pressureRatio: across }
    : { correctedMassFlowKgPerS: across, pressureRatio: up };
}

/** Ticks across at round numbers of the axis's own unit. `perKgPerS` > 0. */
export function acrossTicks({ x, frame, isFlowUp }: MapScales, perKgPerS: number): Tick[] {
  return ticksOf(x, Math.max(3, Math.round((frame.right - frame.left) / 75)), isFlowUp ? 1 : perKgPerS);
}

/** Ticks up, as `acrossTicks`. */
export function upTicks({ y, frame, isFlowUp }: MapScales, perKgPerS: number): Tick[] {
  return ticksOf(y, Math.max(3, Math.round((frame.bottom - frame.top) / 55)), isFlowUp ? perKgPerS : 1);
}

/** Decimals that show about a change of one pixel and no more: for read-outs on the axes. */
export function readoutDecimals(unitsPerPixel: number): number {
  if (!(unitsPerPixel > 0)) return 0;
  return Math.min(6, Math.max(0, Math.round(-Math.log10(unitsPerPixel))));
}

/** At most this many times the map: a hopeless demand must not shrink the map to a stamp. What lies beyond is pointed to on the edge. */
const MOST_MAPS = 1.5;
/** Axes grow in steps of a tenth of the map, so that they stand still while an input is dragged. */
const AXIS_STEP = 0.1;

function grown(low: number, high: number, most: number): number {
  const span = high - low;
  if (!(most > high) || !(span > 0)) return high;
  const steps = Math.ceil((most - high) / (span * AXIS_STEP) - 1e-9);
  return Math.min(low + span * MOST_MAPS, high + steps * span * AXIS_STEP);
}

interface Largest {
  flow: number;
  ratio: number;
}

function largest(points: readonly (FlowAndRatio | null)[], least: PlotExtent): Largest {
  let flow = least.maxFlowKgPerS;
  let ratio = least.maxPressureRatio;
  for (const point of points) {
    if (!point) continue;
    if (Number.isFinite(point.correctedMassFlowKgPerS)) flow = Math.max(flow, point.correctedMassFlowKgPerS);
    if (Number.isFinite(point.pressureRatio)) ratio = Math.max(ratio, point.pressureRatio);
  }
  return { flow, ratio };
}

/** Remembered: the map stands still while an input moves its operating lines. */
const largestOfMap = memory<Pick<MapChart, 'extent' | 'speedLines' | 'ratedSpeedLine'>, Largest>();

/**
 * The data box to draw unzoomed: the chart's extent, grown to hold every speed line (extended ones too), the rated-speed line and,
 * in steps, the operating lines. Points that are not finite do not count.
 */
export function holdingExtent(
  chart: Pick<MapChart, 'extent' | 'speedLines' | 'ratedSpeedLine'>,
  lines: readonly Pick<PlotOperatingLine, 'points'>[],
): PlotExtent {
  const extent = usableExtent(chart.extent);
  const map = largestOfMap(chart, [], () => {
    const drawn = [...chart.speedLines, ...(chart.ratedSpeedLine?.pieces ?? [])];
    return largest(
      drawn.flatMap((line) => line.points),
      extent,
    );
  });
  const most = largest(
    lines.flatMap((line) => line.points),
    extent,
  );
  return {
    ...extent,
    maxFlowKgPerS: grown(extent.minFlowKgPerS, map.flow, most.flow),
    maxPressureRatio: grown(extent.minPressureRatio, map.ratio, most.ratio),
  };
}

/** Shares of the axes kept free for the speed labels at the right and above the top line. */
const ROOM_RIGHT = 0.13;
const ROOM_ABOVE = 0.07;

/**
 * Axes that hold all of several maps with their operating lines, the same for each: what `axes` of a model takes. They grow in steps, as
 * those of one map do, so that they stand still while an input is dragged. All maps must stand at one reference state.
 */
export function sharedAxes(models: readonly Pick<MapPlotModel, 'chart' | 'operatingLines'>[]): PlotExtent {
  const held = models.map(({ chart, operatingLines }) => holdingExtent(chart, operatingLines));
  const minFlowKgPerS = Math.min(...held.map((extent) => extent.minFlowKgPerS));
  const minPressureRatio = Math.min(...held.map((extent) => extent.minPressureRatio));
  const flow = Math.max(...held.map((extent) => extent.maxFlowKgPerS)) - minFlowKgPerS;
  const ratio = Math.max(...held.map((extent) => extent.maxPressureRatio)) - minPressureRatio;
  return {
    minFlowKgPerS,
    maxFlowKgPerS: minFlowKgPerS + flow / (1 - ROOM_RIGHT),
    minPressureRatio,
    maxPressureRatio: minPressureRatio + ratio / (1 - ROOM_ABOVE),
  };
}
