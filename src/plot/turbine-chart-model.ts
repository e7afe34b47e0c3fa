import type { LineAxis } from './line-chart-model.ts';
import type { CandidateStyle } from './map-plot-model.ts';

/**
 * Swallowing capacity over expansion ratio with the engine on it. Flows stand in the unit of the axis. Lists are compared by identity:
 * keep `capacities` the same while the turbines are.
 */
export interface TurbineChartModel {
  /** The ratio runs from 1 to `maxRatio`; the flow from 0, so that a gap is seen as a share. */
  maxRatio: number;
  flowAxis: LineAxis;
  capacities: readonly PlotCapacity[];
  engines: readonly PlotTurbineEngine[];
  /** Engine speed pointed at, here or elsewhere. */
  focusRpm: number | null;
}

export interface RatioAndFlow {
  expansionRatio: number;
  flow: number;
}

/** What one turbine swallows. */
export interface PlotCapacity {
  id: string;
  /** Stands beside its curves: 'A swallows'. */
  name: string;
  style: CandidateStyle;
  /** One for each line of the sheet, one for an estimate, in rising expansion ratio. */
  curves: readonly PlotCapacityCurve[];
  /** As entered on the sheet: small crosses. */
  entered: readonly RatioAndFlow[];
  /** What an estimate may be off, on both sides of its curve; none for a sheet. */
  band: { points: readonly { expansionRatio: number; low: number; high: number }[]; label: string } | null;
}

export interface PlotCapacityCurve {
  points: readonly (RatioAndFlow & { extended: boolean })[];
  /** From here on more expansion brings no more flow; null: not in sight. */
  chokesAt: RatioAndFlow | null;
}

/** The engine on its turbine. */
export interface PlotTurbineEngine {
  id: string;
  /** 'A' */
  letter: string;
  style: CandidateStyle;
  /** In rising engine speed; null where an engine speed has no operating point. */
  points: readonly (PlotTurbinePoint | null)[];
}

export interface PlotTurbinePoint extends RatioAndFlow {
  engineSpeedRpm: number;
  /** The whole exhaust at the same expansion ratio: what is above `flow` goes through the gate. */
  wholeExhaust: number;
  /** Gets a marker and an engine speed. */
  marked: boolean;
  severity?: 'stop' | 'caution' | undefined;
}
