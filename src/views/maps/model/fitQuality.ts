import type { DraftFit } from '../../../build/index.ts';
import { formatNumber, sheetFlowToKgPerS } from '../../../units/index.ts';

/** How closely the fitted surface passes the entered points of the speed lines. */
export interface FitQuality {
  points: number;
  /** Largest distance in speed, as a share; of the points that the surface answers for. */
  speed: number;
  /** Largest distance in efficiency, 0..1; null where no point has one. */
  efficiency: number | null;
}

/** null while nothing is fitted. */
export function fitQuality({ sheet, surface }: DraftFit): FitQuality | null {
  if (sheet === null || surface === null) return null;
  const quality: FitQuality = { points: 0, speed: 0, efficiency: null };
  for (const line of sheet.speedLines) {
    for (const p of line.points) {
      const at = surface.at(sheetFlowToKgPerS(p.flow, sheet.flowUnit, sheet.reference), p.pressureRatio);
      if (at.correctedSpeedRpm === null) continue;
      quality.points++;
      quality.speed = Math.max(quality.speed, Math.abs(at.correctedSpeedRpm / line.speedRpm - 1));
      if (p.efficiency === undefined || at.efficiency === null) continue;
      quality.efficiency = Math.max(quality.efficiency ?? 0, Math.abs(at.efficiency - p.efficiency));
    }
  }
  return quality;
}

/** One line for under the plot. */
export function fitWords(quality: FitQuality): string {
  const { points, speed, efficiency } = quality;
  const eta = efficiency === null ? '' : `, efficiency within ${formatNumber(efficiency * 100, 1)} points`;
  return `Fitted through ${points} points: speed within ${formatNumber(speed * 100, 2)} %${eta}`;
}
