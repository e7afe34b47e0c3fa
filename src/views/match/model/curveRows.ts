import type { TypedCurve } from '../../../build/index.ts';

type Rows = TypedCurve['rows'];
type Row = Rows[number];

const EMPTY: Row = { engineSpeed: '', value: '' };
const KEYS = ['engineSpeed', 'value'] as const;

/** The rows with a block of texts put at a cell; missing rows are added. Column 0 is the engine speed, 1 the value. */
export function withCells(rows: Rows, row: number, column: number, block: readonly (readonly string[])[]): Rows {
  const next = [...rows];
  block.forEach((texts, down) => {
    const at = row + down;
    while (next.length <= at) next.push(EMPTY);
    texts.forEach((text, across) => {
      const key = KEYS[column + across];
      if (key !== undefined) next[at] = { ...next[at]!, [key]: text };
    });
  });
  return next;
}

/** The rows with an empty one at an index. */
export function withRowInserted(rows: Rows, at: number): Rows {
  return rows.toSpliced(at, 0, EMPTY);
}

/** The rows without some. One empty row stays: a curve is never without a place to type. */
export function withoutRows(rows: Rows, first: number, count: number): Rows {
  const left = rows.toSpliced(first, count);
  return left.length === 0 ? [EMPTY] : left;
}
