import type { MapDraft } from '../../../../build/index.ts';
import type { PicturePlace } from '../../../../compressor/reading/index.ts';
import { withLine } from '../../model/editDraft.ts';
import { addPoint, placedRows } from './tracePoints.ts';

/**
 * An efficiency printed at a place: at a point of a speed line it goes into that point's cell; anywhere else it is a reading by itself.
 * @param reachPx how far the click may be off a point of a line, picture pixels
 */
export function placeReading(draft: MapDraft, place: PicturePlace, reachPx: number, efficiency: string): MapDraft {
  let nearest = { line: -1, row: -1, distance: 1.5 * reachPx };
  draft.speedLines.forEach((_, line) => {
    for (const { row, place: at } of placedRows(draft, { kind: 'speed-line', line })) {
      const distance = Math.hypot(at.x - place.x, at.y - place.y);
      if (distance < nearest.distance) nearest = { line, row, distance };
    }
  });
  if (nearest.line >= 0) {
    return withLine(draft, nearest.line, (line) => {
      const old = line.points[nearest.row];
      return old === undefined ? line : { ...line, points: line.points.with(nearest.row, { ...old, efficiency }) };
    });
  }
  const added = addPoint(draft, { kind: 'readings' }, place);
  if (added.row === null) return draft;
  const readings = added.draft.efficiencyReadings ?? [];
  const last = readings[added.row];
  return last === undefined
    ? added.draft
    : { ...added.draft, efficiencyReadings: readings.with(added.row, { ...last, efficiency }) };
}
