import type { CompressorSurface, FlowAndRatio, MapPolyline } from './types.ts';

/** Places along a line for drawing, closer towards choke where lines grow steep: 0..1. */
function alongLine(count: number): number[] {
  return Array.from({ length: count }, (_, i) => 1 - (1 - i / (count - 1)) ** 2.5);
}

/**
 * A speed line of the surface in data units, surge to choke, sampled so that straight segments look smooth.
 * @param correctedSpeedRpm within the surface's answer range; else null.
 */
export function speedLine(surface: CompressorSurface, correctedSpeedRpm: number, count = 48): MapPolyline | null {
  const points: FlowAndRatio[] = [];
  for (const beta of alongLine(count)) {
    const on = surface.on(correctedSpeedRpm, beta);
    if (on) points.push({ correctedMassFlowKgPerS: on.correctedMassFlowKgPerS, pressureRatio: on.pressureRatio });
  }
  const extended =
    correctedSpeedRpm > surface.highestLineRpm * 1.003 || correctedSpeedRpm < surface.lowestLineRpm * 0.997;
  return points.length < 2 ? null : { points, extended };
}

/**
 * The surge line or the choke end in data units: one piece between the lowest and the top line, and the pieces by which similarity
 * extends it, marked so.
 */
export function boundaryLine(surface: CompressorSurface, end: 'surge' | 'choke'): MapPolyline[] {
  const piece = (from: number, to: number, count: number, extended: boolean): MapPolyline => ({
    points: Array.from({ length: count }, (_, i) => from + ((to - from) * i) / (count - 1)).flatMap((speed) => {
      const at = end === 'surge' ? surface.surgeAt(speed) : surface.chokeAt(speed);
      return at ? [at] : [];
    }),
    extended,
  });
  const { lowestAnswerRpm, lowestLineRpm, highestLineRpm, highestAnswerRpm } = surface;
  return [
    piece(lowestAnswerRpm, lowestLineRpm, 12, true),
    piece(lowestLineRpm, highestLineRpm, 64, false),
    piece(highestLineRpm, highestAnswerRpm, 8, true),
  ].filter((line) => line.points.length >= 2);
}
