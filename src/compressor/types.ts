import type { SheetFlowUnit } from '../units/index.ts';
import type { SurfaceEstimate } from './scaling.ts';

/**
 * The compressor sheet as a person reads it, and the surface fitted to it.
 * All pressures and temperatures are totals unless the sheet says otherwise.
 */

export type FlowUnit = SheetFlowUnit;

export interface ReferenceState {
  temperatureK: number;
  pressurePa: number;
}

export interface SheetPoint {
  /** In the sheet's own flow unit, corrected to its reference state. */
  flow: number;
  pressureRatio: number;
  /** 0..1, isentropic total to total. */
  efficiency?: number | undefined;
}

export interface SpeedLine {
  /** Corrected shaft speed at the sheet's reference temperature, rev/min. */
  speedRpm: number;
  points: readonly SheetPoint[];
}

export interface Island {
  /** 0..1 */
  efficiency: number;
  closed: boolean;
  points: readonly { flow: number; pressureRatio: number }[];
}

/** The map file, version 1, exactly as typed: the sheet's own units and reference. */
export interface MapSheet {
  format: 'lugline-map';
  version: 1;
  name: string;
  source: string;
  reference: ReferenceState;
  flowUnit: FlowUnit;
  speedLines: readonly SpeedLine[];
  surgeLine?: readonly { flow: number; pressureRatio: number }[] | undefined;
  islands?: readonly Island[] | undefined;
  limits?: { shaftSpeedRpm?: number | undefined } | undefined;
  wheel?: { inducerMm?: number | undefined; exducerMm?: number | undefined } | undefined;
  /** True for demonstration data that no real machine stands behind. */
  invented?: boolean | undefined;
}

/**
 * Where a point of (corrected flow, pressure ratio) lies. 'outside' is farther from the map than anything may be extended.
 */
export type MapRegion =
  | 'inside'
  | 'left-of-surge'
  | 'right-of-choke'
  | 'above-top-line'
  | 'below-lowest-line'
  | 'outside';

export interface SurfaceAt {
  region: MapRegion;
  /** null where the surface cannot answer (region 'outside'). */
  correctedSpeedRpm: number | null;
  /** 0..1; null where the sheet has no efficiency at all or the surface cannot answer. */
  efficiency: number | null;
  /** 0 at surge, 1 at the choke end, linear in flow on the speed line through the point; outside 0..1 beyond them. */
  beta: number | null;
  /** True where the answer is not between entered lines and points: say so wherever it is shown. */
  extended: boolean;
  /** True where the map is that of another wheel, scaled: say so wherever it is shown. */
  estimated?: true | undefined;
}

export interface SurfaceOn {
  correctedMassFlowKgPerS: number;
  pressureRatio: number;
  efficiency: number | null;
  extended: boolean;
  estimated?: true | undefined;
}

export interface FlowAndRatio {
  correctedMassFlowKgPerS: number;
  pressureRatio: number;
}

/** A fitted map. Flow in corrected kg/s, speeds in corrected rev/min, both at `reference`. */
export interface CompressorSurface {
  readonly reference: ReferenceState;
  readonly hasEfficiency: boolean;
  /** Lowest and highest entered speed line, rev/min. */
  readonly lowestLineRpm: number;
  readonly highestLineRpm: number;
  /** The surface answers for lowestAnswerRpm <= Nc <= highestAnswerRpm (extension below to PR 1, above by one line spacing). */
  readonly lowestAnswerRpm: number;
  readonly highestAnswerRpm: number;
  /** Box that holds every entered point, for axes. */
  readonly extent: { maxFlowKgPerS: number; maxPressureRatio: number };
  readonly limits: { shaftSpeedRpm?: number | undefined };
  readonly wheel: { inducerMm?: number | undefined; exducerMm?: number | undefined };
  /** How it was made where it is another wheel's map, scaled; absent: fitted to this turbo's own sheet. */
  readonly estimate?: SurfaceEstimate | undefined;
  at(correctedMassFlowKgPerS: number, pressureRatio: number): SurfaceAt;
  /** null outside lowestAnswerRpm..highestAnswerRpm or beta outside 0..1. */
  on(correctedSpeedRpm: number, beta: number): SurfaceOn | null;
  /** Surge and choke end of a speed line; null outside the answer range. */
  surgeAt(correctedSpeedRpm: number): FlowAndRatio | null;
  chokeAt(correctedSpeedRpm: number): FlowAndRatio | null;
  /** Surge-line flow at a pressure ratio, kg/s; null outside the surge line's range. */
  surgeFlowAt(pressureRatio: number): number | null;
}

/** A line drawn in data units. */
export interface MapPolyline {
  points: readonly FlowAndRatio[];
  /** Drawn differently: not between entered lines. */
  extended: boolean;
}

/** An efficiency contour in data units, cut at the map's edge (open) or closed. */
export interface IslandContour {
  efficiency: number;
  rings: readonly { points: readonly FlowAndRatio[]; closed: boolean }[];
}

/** What a person can go to on the sheet: a cell of the tables, or all of a part. */
export type SheetPlace =
  | { part: 'reference' }
  | { part: 'limits' }
  | { part: 'wheel' }
  | { part: 'speed-line'; line: number; point?: number | undefined }
  | { part: 'surge-line'; point?: number | undefined }
  | { part: 'island'; island: number; point?: number | undefined };

export interface AuditFinding {
  /** 'error': no surface can be fitted; 'warning': it is probably a slip; 'note': what the map cannot give. */
  severity: 'error' | 'warning' | 'note';
  code: string;
  /** Plain words: what, where, what to do. */
  message: string;
  /** Nothing is wrong: it is not entered yet. */
  isLacking?: true | undefined;
  place?: SheetPlace | undefined;
  /** The column of the tables that it is about; left out: told by the code, else the whole row. */
  column?: 'speed' | 'flow' | 'pressureRatio' | 'efficiency' | undefined;
}

export type * from './scaling.ts';
export type * from './wheels.ts';

/** What a fit's search found, as numbers: of speed, then of efficiency, how many weights, which coordinates, six logarithms, the weights. */
export type KeptFit = Float64Array<ArrayBuffer>;

/** The fit, or why there is none. `kept`: what makes the same surface of the same sheet without a search. */
export type FitResult =
  | { ok: true; surface: CompressorSurface; kept?: KeptFit | undefined }
  | { ok: false; problems: readonly AuditFinding[] };
