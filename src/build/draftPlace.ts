import type { SheetPlace } from '../compressor/types.ts';
import type { DraftRows } from './draftToSheet.ts';

/** A place counted in the sheet's lines and points, counted in the draft's rows instead (empty and unread rows count there). */
export function draftPlace(place: SheetPlace, rows: DraftRows): SheetPlace {
  switch (place.part) {
    case 'speed-line': {
      const line = rows.lines[place.line];
      return line === undefined ? place : { ...place, line: line.row, ...pointRow(place.point, line.points) };
    }
    case 'island': {
      const island = rows.islands[place.island];
      return island === undefined ? place : { ...place, island: island.row, ...pointRow(place.point, island.points) };
    }
    case 'surge-line':
      return { ...place, ...pointRow(place.point, rows.surgeLine) };
    default:
      return place;
  }
}

function pointRow(point: number | undefined, rows: readonly number[]): { point?: number } {
  const row = point === undefined ? undefined : rows[point];
  return row === undefined ? {} : { point: row };
}
