/** A small chart of one quantity over another (engine speed, altitude): series, bands, limits, and a pointer that other charts follow. */
export interface LineChartModel {
  xAxis: LineAxis & { min: number; max: number };
  valueAxis: LineAxis & {
    /** Kept in view whatever the series hold: a zero line, a target. */
    include: readonly number[];
    /** The axis does not run past these: no values lie there (0 and 100 of a share in per cent). */
    bounds?: { low?: number; high?: number } | undefined;
  };
  /** Behind the lines. */
  bands: readonly LineBand[];
  /** Stretches of the x axis that have a name, hatched. */
  spans?: readonly LineSpan[] | undefined;
  series: readonly LineSeries[];
  limits: readonly LineLimit[];
  /** 'end': names stand right of the frame at the ends of their lines, for many lines that run alongside. 'along': on the lines. */
  names: 'along' | 'end';
  /** Place on the x axis pointed at, here or elsewhere. */
  focusX: number | null;
  /** The series pointed at, drawn heavier and alone with its value; null: all show theirs. */
  focusSeriesId: string | null;
}

export interface LineAxis {
  title: string;
  /** '' for a plain ratio. */
  unit: string;
  decimals: number;
}

export interface LinePoint {
  x: number;
  value: number;
}

/** A: solid with circles. B: dashed with diamonds. Plain: solid, in ink. Goal: with crosses. Dashed: dash and two dots, in ink. */
export type LineStyle = 'a' | 'b' | 'plain' | 'goal' | 'dashed';

export interface LineSeries {
  id: string;
  /** Stands beside the line; '' for none. */
  name: string;
  style: LineStyle;
  /** 'second' draws thinner and without markers: another quantity of the same candidate, one of many alike. */
  weight: 'main' | 'second';
  /** 0: palest, 1: full (as it is without one): the place in an ordered set, such as altitudes. */
  shade?: number | undefined;
  /** True: a line to hold others against, with no value of its own where it is pointed at. */
  quiet?: boolean | undefined;
  /** In rising x. null, or a value that is not finite, breaks the line. */
  points: readonly (LinePoint | null)[];
}

/** The room between two values at every x, such as that between the 10th and the 90th of a hundred samples. */
export interface LineBand {
  id: string;
  style: LineStyle;
  /** In rising x. null breaks the band. */
  points: readonly ({ x: number; low: number; high: number } | null)[];
}

/** A stretch of the x axis: where the gate is shut, say. */
export interface LineSpan {
  id: string;
  style: LineStyle;
  from: number;
  to: number;
  /** Stands in it where there is room. */
  label: string;
}

export interface LineLimit {
  /** 'limit 172,000 rpm' */
  label: string;
  value: number;
  severity: 'stop' | 'caution';
}
