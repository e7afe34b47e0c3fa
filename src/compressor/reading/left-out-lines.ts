import { flowFactor, tryFitSurface } from '../fit-surface.ts';
import type { MapSheet } from '../types.ts';
import type { LeftOutLine } from './quality-types.ts';

/** Indices of the lines that can be left out: all but those at the lowest and the highest speed, which nothing would bracket. */
export function innerLines(sheet: MapSheet): number[] {
  const usable = sheet.speedLines
    .map((line, index) => ({ index, speedRpm: line.speedRpm, points: line.points.length }))
    .filter((line) => line.speedRpm > 0 && Number.isFinite(line.speedRpm) && line.points >= 2)
    .sort((a, b) => a.speedRpm - b.speedRpm);
  const [low, high] = [usable[0]?.speedRpm, usable.at(-1)?.speedRpm];
  if (new Set(usable.map((line) => line.speedRpm)).size < 4) return [];
  return usable.filter((line) => line.speedRpm !== low && line.speedRpm !== high).map((line) => line.index);
}

/** Errors of a surface at the points of a line that it has not seen. */
export interface LeftOutErrors {
  line: LeftOutLine;
  /** Each point's, shares of speed and of efficiency. */
  speed: number[];
  efficiency: number[];
}

/**
 * Fit the sheet without one line and ask the surface for that line's own points: an error between lines wider apart than the sheet's, so
 * rather more than that of the surface itself.
 * @returns null where the rest cannot be fitted.
 */
export function leaveLineOut(sheet: MapSheet, index: number): LeftOutErrors | null {
  const left = sheet.speedLines[index]!;
  // A second line at the same speed is the same line typed in two parts.
  const rest = { ...sheet, speedLines: sheet.speedLines.filter((line) => line.speedRpm !== left.speedRpm) };
  const fit = tryFitSurface(rest);
  if (!fit.ok) return null;
  const factor = flowFactor(sheet.flowUnit, sheet.reference);
  const speed: number[] = [];
  const efficiency: number[] = [];
  let unanswered = 0;
  for (const point of left.points) {
    const at = fit.surface.at(point.flow * factor, point.pressureRatio);
    if (at.correctedSpeedRpm === null) {
      unanswered++;
      continue;
    }
    speed.push(Math.abs(at.correctedSpeedRpm / left.speedRpm - 1));
    if (at.efficiency !== null && point.efficiency !== undefined && Number.isFinite(point.efficiency)) {
      efficiency.push(Math.abs(at.efficiency - point.efficiency));
    }
  }
  if (speed.length === 0) return null;
  return {
    line: {
      line: index,
      speedRpm: left.speedRpm,
      speedMedian: shareOf(speed, 0.5) ?? 0,
      speedLargest: Math.max(...speed),
      efficiencyMedian: shareOf(efficiency, 0.5),
      efficiencyLargest: efficiency.length > 0 ? Math.max(...efficiency) : null,
      unanswered,
    },
    speed,
    efficiency,
  };
}

/** The value below which a share of the values lies; null for none. */
export function shareOf(values: readonly number[], share: number): number | null {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.round(share * (sorted.length - 1))] ?? null;
}
