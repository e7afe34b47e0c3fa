/** How much is printed of what can be left out: the sheet takes the fullest that keeps it on two pages. */
export interface Density {
  /** Engine speeds in the table of points, at the most. */
  pointRows: number;
  /** Engine speeds in the calibration tables, at the most. */
  calibrationRows: number;
  /** Smaller type. */
  isSmall: boolean;
}

export const DENSITIES: readonly Density[] = [
  { pointRows: 30, calibrationRows: 24, isSmall: false },
  { pointRows: 20, calibrationRows: 14, isSmall: false },
  { pointRows: 14, calibrationRows: 12, isSmall: false },
  { pointRows: 11, calibrationRows: 10, isSmall: false },
  { pointRows: 10, calibrationRows: 10, isSmall: true },
  { pointRows: 8, calibrationRows: 7, isSmall: true },
];

/** A sheet is one or two pages. */
export const MOST_PAGES = 2;
