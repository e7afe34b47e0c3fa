import type { DraftCell3, DraftLine, MapDraft } from '../../../build/index.ts';
import { emptyPoint } from './editDraft.ts';

/** One row of the table of all lines. The speed stands beside the first point of its line; a blank speed is that of the row above. */
export interface AllRow extends DraftCell3 {
  speed: string;
}

/** Where a row of that table stands in the lines. */
export interface RowPlace {
  line: number;
  point: number;
}

export function toAllRows(draft: MapDraft): { rows: AllRow[]; places: RowPlace[] } {
  const rows: AllRow[] = [];
  const places: RowPlace[] = [];
  draft.speedLines.forEach((line, i) => {
    const points = line.points.length > 0 ? line.points : [emptyPoint];
    points.forEach((p, k) => {
      rows.push({ speed: k === 0 ? line.speed : '', ...p });
      places.push({ line: i, point: k });
    });
  });
  return { rows, places };
}

/**
 * The table of all lines back to lines, given the rows it was made of: a row with a speed begins a line, a row without one belongs to
 * the line above. A line whose speed is not typed yet stays a line of its own while its first row is the same.
 */
export function fromAllRows(draft: MapDraft, rows: readonly AllRow[]): MapDraft {
  const before = toAllRows(draft);
  const startsUnnamed = new Set<AllRow | number>();
  before.rows.forEach((row, i) => {
    const place = before.places[i]!;
    if (place.point === 0 && row.speed === '' && place.line > 0 && rows[i]?.speed === '') startsUnnamed.add(i);
  });
  const sameCount = rows.length === before.rows.length;
  const lines: { speed: string; points: DraftCell3[] }[] = [];
  rows.forEach(({ speed, flow, pressureRatio, efficiency }, i) => {
    const current = lines.at(-1);
    const unnamed = sameCount && startsUnnamed.has(i);
    if (current === undefined || speed.trim() !== '' || unnamed)
      lines.push({ speed, points: [{ flow, pressureRatio, efficiency }] });
    else current.points.push({ flow, pressureRatio, efficiency });
  });
  const speedLines: readonly DraftLine[] = lines.length > 0 ? lines : [{ speed: '', points: [emptyPoint] }];
  return { ...draft, speedLines };
}
