export interface CellColumn {
  key: string;
  header: string;
  /** Under the header: 'kg/s'. */
  unit?: string | undefined;
  /** Numbers stand at the end, words at the start. */
  align?: 'start' | 'end' | undefined;
  /** Any CSS width; columns share what is left. */
  width?: string | undefined;
  /** Faint text of an empty cell ('optional'). */
  placeholder?: string | undefined;
}

/** Something to say about a cell; null as column: about the whole row. */
export interface CellMark {
  row: number;
  column: number | null;
  severity: 'error' | 'warning';
  /** Plain words: what, where, what to do. */
  message: string;
}

export interface CellAt {
  row: number;
  column: number;
}

/** Rows and columns first to last, both included. */
export interface CellRange {
  firstRow: number;
  lastRow: number;
  firstColumn: number;
  lastColumn: number;
}

export function rangeBetween(a: CellAt, b: CellAt): CellRange {
  return {
    firstRow: Math.min(a.row, b.row),
    lastRow: Math.max(a.row, b.row),
    firstColumn: Math.min(a.column, b.column),
    lastColumn: Math.max(a.column, b.column),
  };
}
