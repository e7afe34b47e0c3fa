import type { RoadLogRow } from '../../match/types.ts';

/** Rows within this of an engine speed are of it, rpm. */
const NEAR_RPM = 60;

export interface MeasuredAt {
  engineSpeedRpm: number;
  shaftSpeedRpm: number;
  predictedShaftSpeedRpm: number;
  manifoldPressurePa: number;
}

/** Means of what a road log measured at engine speeds; those that it does not cover are left out. */
export function measuredAt(rows: readonly RoadLogRow[], engineSpeedsRpm: readonly number[]): MeasuredAt[] {
  return engineSpeedsRpm.flatMap((engineSpeedRpm) => {
    const near = rows.flatMap((row) => {
      const { used, shaftSpeedRpm, predictedShaftSpeedRpm, manifoldPressurePa } = row;
      const isNear = used && Math.abs(row.engineSpeedRpm - engineSpeedRpm) <= NEAR_RPM;
      return isNear && shaftSpeedRpm !== null && predictedShaftSpeedRpm !== null && manifoldPressurePa !== null
        ? [{ shaftSpeedRpm, predictedShaftSpeedRpm, manifoldPressurePa }]
        : [];
    });
    if (near.length === 0) return [];
    const mean = (key: keyof (typeof near)[number]) => near.reduce((sum, row) => sum + row[key], 0) / near.length;
    return [
      {
        engineSpeedRpm,
        shaftSpeedRpm: mean('shaftSpeedRpm'),
        predictedShaftSpeedRpm: mean('predictedShaftSpeedRpm'),
        manifoldPressurePa: mean('manifoldPressurePa'),
      },
    ];
  });
}
