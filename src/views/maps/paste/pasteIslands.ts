import type { MapDraft } from '../../../build/index.ts';
import { isClosedContour } from '../../../reading/index.ts';
import { plainNumber } from '../../../units/index.ts';
import { compressorPaste } from '../sheetKinds/compressor.tsx';
import { type Cells, cellNumber, recogniseColumns } from './columns.ts';
import { pastedFlowFactor } from './takePaste.ts';

type Island = MapDraft['islands'][number];

/**
 * All islands of one pasted table of efficiency, flow and pressure ratio, in this order or as its headings say. A new value begins a new
 * island; an empty one means that of the row above. Whether an island closes follows from its ends.
 * @returns the islands with texts in the units of the map; null where the table has no third column of numbers, or a row of it cannot be read
 */
export function pastedIslands(draft: MapDraft, cells: Cells): Island[] | null {
  const rows = cells.filter((row) => row.some((cell) => cell !== ''));
  const { roles, hasHeader, firstRow, flowUnit } = recogniseColumns(rows, compressorPaste);
  const at = (role: (typeof roles)[number], usual: number) => (hasHeader ? roles.indexOf(role) : usual);
  const [value, flow, ratio] = [at('efficiency', 0), at('flow', 1), at('ratio', 2)];
  const body = rows.slice(firstRow);
  const full = body.filter((row) => cellNumber(row[flow]) !== null && cellNumber(row[ratio]) !== null);
  const values = body.flatMap((row) => cellNumber(row[value]) ?? []);
  if (value < 0 || full.length < 2 || values.length === 0) return null;
  const factor = flowUnit === null ? 1 : (pastedFlowFactor(draft, flowUnit) ?? 1);
  const inPercent = Math.max(...values) > 1.5;
  const scale = inPercent === (draft.efficiencyUnit === '%') ? 1 : inPercent ? 0.01 : 100;
  const islands: { value: number; efficiency: string; points: { flow: string; pressureRatio: string }[] }[] = [];
  let read: number | null = null;
  for (const row of body) {
    read = cellNumber(row[value]) ?? read;
    const [w, pr] = [cellNumber(row[flow]), cellNumber(row[ratio])];
    if (read === null || w === null || pr === null) continue;
    if (islands.at(-1)?.value !== read) {
      const text = (row[value] ?? '').replace(/\s*%$/, '');
      islands.push({ value: read, efficiency: scale === 1 ? text : plainNumber(read * scale, 8), points: [] });
    }
    const point = {
      flow: factor === 1 ? (row[flow] ?? '') : plainNumber(w * factor, 8),
      pressureRatio: row[ratio] ?? '',
    };
    islands.at(-1)?.points.push(point);
  }
  // Nothing is dropped in silence: a table with such a row is not taken as one of islands.
  if (islands.reduce((sum, { points }) => sum + points.length, 0) < body.length) return null;
  const places = (points: Island['points']) =>
    points.map((p) => ({ flow: cellNumber(p.flow) ?? 0, pressureRatio: cellNumber(p.pressureRatio) ?? 0 }));
  const all = islands.flatMap(({ points }) => places(points));
  const size = {
    flow: Math.max(...all.map((p) => p.flow)),
    pressureRatio: Math.max(...all.map((p) => p.pressureRatio)),
  };
  return islands.map(({ efficiency, points }) => ({
    efficiency,
    closed: isClosedContour(places(points), size),
    points,
  }));
}
