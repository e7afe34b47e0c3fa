import type { TurbineSheet } from '../../src/turbine/types.ts';
import { sheetOf } from './sheets.ts';

/** Invented, read off a mean-line machine to the digits of a sheet: corrected speed, then expansion ratio, kg/s, efficiency. */
const LINES: readonly [number, readonly (readonly [number, number, number])[]][] = [
  [
    44000,
    [
      [1.13, 0.0531, 0.616],
      [1.17, 0.0616, 0.635],
      [1.21, 0.0679, 0.625],
      [1.28, 0.0762, 0.593],
      [1.36, 0.0829, 0.557],
      [1.47, 0.0895, 0.516],
      [1.61, 0.0951, 0.477],
    ],
  ],
  [
    60000,
    [
      [1.25, 0.0678, 0.597],
      [1.33, 0.0776, 0.622],
      [1.42, 0.0851, 0.613],
      [1.54, 0.0918, 0.589],
      [1.69, 0.0972, 0.559],
      [1.93, 0.1019, 0.517],
      [2.22, 0.1041, 0.478],
    ],
  ],
  [
    76000,
    [
      [1.35, 0.0709, 0.506],
      [1.43, 0.0797, 0.571],
      [1.55, 0.0881, 0.597],
      [1.69, 0.0943, 0.595],
      [1.9, 0.0996, 0.574],
      [2.18, 0.1027, 0.543],
    ],
  ],
  [
    90000,
    [
      [1.5, 0.0753, 0.444],
      [1.59, 0.0827, 0.512],
      [1.69, 0.0883, 0.545],
      [1.84, 0.0938, 0.562],
      [1.99, 0.0971, 0.562],
      [2.19, 0.0995, 0.552],
      [2.39, 0.1005, 0.538],
    ],
  ],
];

export const soundSheet = (): TurbineSheet =>
  sheetOf(
    LINES.map(([speedRpm, points]) => ({
      speedRpm,
      points: points.map(([expansionRatio, flow, efficiency]) => ({ expansionRatio, flow, efficiency })),
    })),
  );
