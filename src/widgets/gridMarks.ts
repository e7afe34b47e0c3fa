import type { CellAt, CellMark } from './gridTypes.ts';

export type MarksByRow = ReadonlyMap<number, readonly CellMark[]>;

export function groupByRow(marks: readonly CellMark[]): MarksByRow {
  const rows = new Map<number, CellMark[]>();
  for (const mark of marks) {
    const row = rows.get(mark.row);
    if (row) row.push(mark);
    else rows.set(mark.row, [mark]);
  }
  return rows;
}

/** The mark of that cell, errors first, else of its row. */
export function markAt(marks: MarksByRow, at: CellAt): CellMark | undefined {
  const ofRow = marks.get(at.row) ?? [];
  const ofCell = ofRow.filter((mark) => mark.column === at.column);
  return ofCell.find((mark) => mark.severity === 'error') ?? ofCell[0] ?? ofRow.find((mark) => mark.column === null);
}
