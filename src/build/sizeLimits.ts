import { formatNumber, MOST_ROWS, tableTooLong } from '../units/index.ts';
import type { MapDraft } from './document.ts';

/** The largest published sheets have some 20 lines and 400 points; beyond these bounds it is not a sheet. */
const MOST_LINES = 100;

const many = (count: number) => formatNumber(count, 0);

/** Why the tables hold more than can be a compressor map (100 lines or contours, 5,000 points in all), or null. */
export function mapTooBig(map: Pick<MapDraft, 'speedLines' | 'surgeLine' | 'islands'>): string | null {
  const lines = Math.max(map.speedLines.length, map.islands.length);
  const points = [...map.speedLines, ...map.islands].reduce(
    (sum, line) => sum + line.points.length,
    map.surgeLine.length,
  );
  if (lines <= MOST_LINES && points <= MOST_ROWS) return null;
  return `The map has ${many(lines)} lines and ${many(points)} points; at most ${MOST_LINES} lines and ${many(MOST_ROWS)} points are taken. Thin it out.`;
}

/** Why some list in a file is longer than a table can be, with its place; null: none is. `value` is plain data without loops. */
export function listTooLong(value: unknown, path = ''): { path: string; message: string } | null {
  if (typeof value !== 'object' || value === null) return null;
  const message = Array.isArray(value) ? tableTooLong(value.length) : null;
  if (message !== null) return { path, message };
  for (const [key, child] of Object.entries(value)) {
    const at = Array.isArray(value) ? `${path}[${key}]` : path === '' ? key : `${path}.${key}`;
    const found = listTooLong(child, at);
    if (found !== null) return found;
  }
  return null;
}
