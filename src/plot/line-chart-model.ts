import type { CurvePoint } from '../numerics/types.ts';

/** A small chart of one quantity over engine speed: several series, limits, and a pointer that other charts follow. */
export interface LineChartModel {
  valueAxis: {
    title: string;
    /** '' for a plain ratio. */
    unit: string;
    decimals: number;
    /** Kept in view whatever the series hold: a zero line, a target. */
    include: readonly number[];
  };
  /** Engine-speed range, rpm: the same for charts that stand above each other. */
  speedRange: { min: number; max: number };
  series: readonly LineSeries[];
  limits: readonly LineLimit[];
  /** Engine speed pointed at, here or elsewhere. */
  focusEngineSpeedRpm: number | null;
}

export interface LineSeries {
  id: string;
  /** Stands beside the line. */
  name: string;
  /** A: solid with circles. B: dashed with diamonds. */
  style: 'a' | 'b';
  /** 'second' draws thinner and without markers: another quantity of the same candidate. */
  weight: 'main' | 'second';
  /** In rising engine speed. null, or a value that is not finite, breaks the line. */
  points: readonly (CurvePoint | null)[];
}

export interface LineLimit {
  /** 'limit 172,000 rpm' */
  label: string;
  value: number;
  severity: 'stop' | 'caution';
}
