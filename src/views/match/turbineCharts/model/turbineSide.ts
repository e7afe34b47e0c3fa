import type { ReferenceState } from '../../../../compressor/index.ts';
import type { OperatingPointSolved } from '../../../../match/index.ts';
import type { PlotOperatingLine } from '../../../../plot/index.ts';
import type { CandidateResults } from '../../../../store/index.ts';

/** One candidate as the charts of the turbine show it. */
export interface TurbineSide {
  index: number;
  /** 'A' */
  letter: string;
  style: 'a' | 'b';
  results: CandidateResults;
  /** Its line on the map: which engine speeds are marked there, and how, is the same here. null: it has none. */
  line: PlotOperatingLine | null;
}

/** A point of which the turbine is known. */
export type DrivenPoint = OperatingPointSolved & {
  turbine: NonNullable<OperatingPointSolved['turbine']>;
  turbineInletPressurePa: number;
  backPressureRatio: number;
  expansionRatio: number;
  wastegateShare: number;
};

/** The points of a side, null where an engine speed has none or its turbine is not known. */
export function drivenPoints({ points }: Pick<CandidateResults, 'points'>): readonly (DrivenPoint | null)[] {
  return points.map((point) => (point.status === 'ok' && isDriven(point) ? point : null));
}

export function isDriven(point: OperatingPointSolved): point is DrivenPoint {
  return point.turbine !== null && point.expansionRatio !== null && point.wastegateShare !== null;
}

/** What an estimate, or a sheet that needs none, is corrected to: the standard atmosphere at sea level. */
export const STANDARD_REFERENCE: ReferenceState = { temperatureK: 288.15, pressurePa: 101_325 };
