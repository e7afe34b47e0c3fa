import type { CurvePoint } from '../numerics/types.ts';

/** A small chart of a curve over engine speed whose points are dragged. Values are in the unit shown. */
export interface CurveChartModel {
  valueAxis: CurveValueAxis;
  speedAxis: CurveSpeedAxis;
  /** In rising engine speed; linear between the points, constant outside. A point that is not finite is not drawn and breaks the line. */
  points: readonly CurvePoint[];
  /** Other curves for comparison, not edited: 'boost reached'. null breaks the line. */
  overlays: readonly CurveOverlay[];
  /** Engine speed pointed at elsewhere. */
  focusEngineSpeedRpm: number | null;
}

export interface CurveValueAxis {
  /** 'Volumetric efficiency' */
  title: string;
  /** '%', 'kPa'; '' for a plain ratio. */
  unit: string;
  /** Values beyond these cannot be dragged to. */
  min: number;
  max: number;
  /** Values are dragged and nudged in these steps; > 0. */
  step: number;
  /** Decimals of the value's label. */
  decimals: number;
}

export interface CurveSpeedAxis {
  /** Engine-speed range of the drawing, rpm. */
  min: number;
  max: number;
  /** Engine speeds are dragged and nudged in these steps; > 0. */
  step: number;
}

export interface CurveOverlay {
  id: string;
  name: string;
  style: 'a' | 'b';
  points: readonly (CurvePoint | null)[];
}
