import type { MapDraft } from './document.ts';

/** The largest published sheets have some 20 lines and 400 points; beyond these bounds it is not a sheet, and the page would stall. */
const MOST_LINES = 100;
const MOST_POINTS = 5_000;

/** Why the tables hold more than can be a compressor map (100 lines or contours, 5,000 points in all), or null. */
export function mapTooBig(map: Pick<MapDraft, 'speedLines' | 'surgeLine' | 'islands'>): string | null {
  const lines = Math.max(map.speedLines.length, map.islands.length);
  const points = [...map.speedLines, ...map.islands].reduce(
    (sum, line) => sum + line.points.length,
    map.surgeLine.length,
  );
  if (lines <= MOST_LINES && points <= MOST_POINTS) return null;
  return `The map has ${lines.toLocaleString('en')} lines and ${points.toLocaleString('en')} points; at most ${MOST_LINES} lines and ${MOST_POINTS.toLocaleString('en')} points are taken. Thin it out.`;
}
