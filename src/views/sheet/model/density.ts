/** How much is printed of what can be left out: the sheet takes the fullest that keeps it on two pages. */
export interface Density {
  /** Engine speeds in the table of points, at the most. */
  pointRows: number;
  /** Engine speeds in the calibration tables, at the most. */
  calibrationRows: number;
  /** 0: the usual type, 1 and 2: smaller. */
  type: 0 | 1 | 2;
  /** Areas of the wheels are left out: they follow from the diameters, and stand on the candidate's card. */
  withoutAreas?: boolean;
}

export const DENSITIES: readonly Density[] = [
  { pointRows: 30, calibrationRows: 24, type: 0 },
  { pointRows: 20, calibrationRows: 20, type: 0 },
  { pointRows: 20, calibrationRows: 14, type: 1 },
  { pointRows: 14, calibrationRows: 12, type: 0 },
  { pointRows: 12, calibrationRows: 10, type: 1 },
  { pointRows: 12, calibrationRows: 10, type: 2 },
  { pointRows: 12, calibrationRows: 7, type: 1 },
  { pointRows: 10, calibrationRows: 7, type: 2 },
  { pointRows: 7, calibrationRows: 7, type: 1 },
  { pointRows: 7, calibrationRows: 6, type: 2 },
  { pointRows: 6, calibrationRows: 6, type: 2, withoutAreas: true },
  { pointRows: 6, calibrationRows: 5, type: 2, withoutAreas: true },
];

/** A sheet is one or two pages. */
export const MOST_PAGES = 2;
