import type { FlowAndRatio, IslandContour, MapPolyline } from '../../compressor/types.ts';

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
  /** Read-out point set from outside (a table row, a linked chart). The pointer's own read-out has precedence while it is on the plot. */
  focus: FlowAndRatio | null;
  /** Another candidate's map drawn over the first in its own dash and colour, at the same reference state; its islands are not drawn. */
  second?: MapChart | undefined;
  /** Exactly these axes (sharedAxes), so that maps side by side stand on equal ones; left out: the chart's own, with room for its labels. */
  axes?: PlotExtent | undefined;
  /** True: the page around the drawing says what its lines are. Files and paper have a legend all the same. */
  legendElsewhere?: boolean | undefined;
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

/** A: solid with circles. B: dashed with diamonds. */
export type CandidateStyle = 'a' | 'b';

export interface PlotOperatingLine {
  id: string;
  /** Shown in the legend. */
  name: string;
  /** 'A': stands with the names of the line's parts where two lines share a plot. */
  letter?: string | undefined;
  style: CandidateStyle;
  /** The exhaust that drives it is known: the legend explains what a turbine-limited part looks like. */
  driven?: boolean | undefined;
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

/** 'turbine': the gate is shut and the goal is not reached. 'ceiling': at the goal a limit is crossed. */
export type LinePart = 'turbine' | 'ceiling';

export interface PlotOperatingPoint extends FlowAndRatio {
  engineSpeedRpm: number;
  /** The map answered outside its entered lines: the line is dotted here. */
  extended: boolean;
  /** Gets a marker and an engine-speed label. */
  marked: boolean;
  /** What holds the boost here where it is not the goal: hollow for the turbine, with ticks where a limit is crossed at the goal. */
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
