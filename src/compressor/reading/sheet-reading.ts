import type { FlowUnit, MapSheet, ReferenceState, SheetPlace, SheetPoint } from '../types.ts';
import type { DataPlace } from './calibration-types.ts';

/** How a speed line is labelled on the sheet. */
export type LineLabel = { kind: 'rpm'; value: number } | { kind: 'percent'; value: number } | { kind: 'none' };

export interface ReadLine {
  label: LineLabel;
  points: readonly SheetPoint[];
}

/** What a person read off a sheet, in whichever way the sheet gives it. Flow in `flowUnit` throughout. */
export interface SheetReading {
  name: string;
  source: string;
  reference: ReferenceState;
  flowUnit: FlowUnit;
  lines: readonly ReadLine[];
  /** Speed that stands for 100 %, corrected rev/min; needed where a label is in percent. */
  designSpeedRpm?: number | undefined;
  /** 'line': drawn by itself. 'line-ends': the left ends of the speed lines are the surge line. */
  surge: { kind: 'line'; points: readonly DataPlace[] } | { kind: 'line-ends' };
  /** closed left out: judged from the shape. */
  islands?: readonly { efficiency: number; closed?: boolean | undefined; points: readonly DataPlace[] }[] | undefined;
  /** Efficiencies printed at single places, on a line or anywhere. 0..1 */
  efficiencyReadings?: readonly (DataPlace & { efficiency: number })[] | undefined;
  /** Outlet pressure that the ratio is made with. Static: a diameter is needed to correct it to total. */
  outletPressure:
    | { kind: 'total' }
    | {
        kind: 'static';
        outletDiameterMm?: number | undefined;
        /** Assumed at points without one, 0..1. Default 0.7. */
        assumedEfficiency?: number | undefined;
      };
  limits?: MapSheet['limits'];
  wheel?: MapSheet['wheel'];
  invented?: boolean | undefined;
}

/** What was taken for granted on the way to the sheet: to be shown and kept with the map. */
export interface Assumption {
  code:
    | 'percent-speeds'
    | 'speeds-proposed'
    | 'surge-from-line-ends'
    | 'surge-drawn'
    | 'efficiency-from-islands'
    | 'efficiency-from-points'
    | 'efficiency-from-both'
    | 'no-efficiency'
    | 'efficiency-placed-on-line'
    | 'efficiency-kept-apart'
    | 'volume-flow'
    | 'total-pressure'
    | 'static-to-total'
    | 'efficiency-assumed'
    | 'island-judged-open'
    | 'island-judged-closed'
    | 'lines-ordered';
  message: string;
  place?: SheetPlace | undefined;
}

export interface CompletingProblem {
  code:
    | 'no-design-speed'
    | 'no-outlet-diameter'
    | 'outlet-choked'
    | 'cannot-propose-speeds'
    | 'speed-not-positive'
    | 'reference-not-positive';
  message: string;
  place?: SheetPlace | undefined;
}

export type CompletedSheet =
  | { ok: true; sheet: MapSheet; assumed: readonly Assumption[] }
  | { ok: false; problems: readonly CompletingProblem[] };

/** A speed proposed for a line without a label. Places count the lines as read. */
export interface ProposedSpeed {
  line: number;
  speedRpm: number;
  /** Standard uncertainty as a share of the speed. */
  uncertainty: number;
  /** The same rounded as a sheet would print it, where a round number lies within the uncertainty; else speedRpm rounded to 100. */
  roundedRpm: number;
}
