import { type FocusEvent, type MouseEvent, useEffect, useMemo, useRef } from 'react';
import { CellGrid, type CellGridHandle, type CellMark } from '../../../widgets/index.ts';
import { alignPasted } from '../model/alignPasted.ts';
import { emptyRow, putCells, toCells } from '../model/cellRows.ts';
import type { ColumnRole } from '../paste/cellNumber.ts';
import type { PastedFlowUnit } from '../paste/pastedUnits.ts';

export interface PointColumn<K extends string> {
  key: K;
  header: string;
  unit?: string | undefined;
  /** What of a pasted table with headings belongs here. */
  role: ColumnRole;
  placeholder?: string | undefined;
  /** CSS width; left out: an even share. */
  width?: string | undefined;
}

export interface PointGridProps<K extends string> {
  label: string;
  columns: readonly PointColumn<K>[];
  rows: readonly Readonly<Record<K, string>>[];
  /** The rows changed; key and label name the step of undo. */
  onRows: (rows: readonly Readonly<Record<K, string>>[], key: string) => void;
  marks: readonly CellMark[];
  rowNames?: readonly string[] | undefined;
  /** Put the keyboard into this cell, once. */
  goTo: { row: number; key: K } | null;
  onArrived: () => void;
  /** The row under the pointer or the keyboard; null when both have left. */
  onRow: (row: number | null) => void;
  hint?: string | undefined;
  /** What turns a pasted flow in another unit into one of this table; null where that cannot be told. */
  /** Pasted columns are recognised as those of a turbine sheet. */
  isTurbine?: boolean | undefined;
  flowFactor?: ((unit: PastedFlowUnit) => number | null) | undefined;
}

/** A table of points to type and paste into. Knows nothing of maps: rows in, rows out. */
export function PointGrid<K extends string>(props: PointGridProps<K>) {
  const { columns, rows, onRows, goTo, onArrived, onRow } = props;
  const grid = useRef<CellGridHandle>(null);
  const keys = useMemo(() => columns.map((column) => column.key), [columns]);
  const cells = useMemo(() => toCells(rows, keys), [rows, keys]);
  const gridColumns = useMemo(() => columns.map(gridColumn), [columns]);
  useEffect(() => {
    if (goTo === null) return;
    grid.current?.focusCell(goTo.row, Math.max(0, keys.indexOf(goTo.key)));
    onArrived();
  }, [goTo, keys, onArrived]);

  const put = (row: number, column: number, matrix: readonly (readonly string[])[], key: string) => {
    const next = putCells(rows, keys, { row, column }, matrix);
    if (next !== rows) onRows(next, key);
  };
  const paste = (row: number, column: number, matrix: string[][]) => {
    const aligned = alignPasted(
      matrix,
      columns.map((c) => c.role),
      props.flowFactor,
      props.isTurbine,
    );
    if (aligned === null) put(row, column, matrix, 'paste');
    else put(row, 0, aligned, 'paste');
  };
  const rowAt = (event: MouseEvent | FocusEvent): number | null => {
    const cell = (event.target as HTMLElement).closest?.('[data-row]');
    return cell instanceof HTMLElement ? Number(cell.dataset.row) : null;
  };
  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: only listens to where the pointer and the keyboard rest, for the plot
    <div
      onMouseOver={(event) => onRow(rowAt(event))}
      onMouseLeave={() => onRow(null)}
      onFocus={(event) => onRow(rowAt(event))}
      onBlur={() => onRow(null)}
    >
      <CellGrid
        ref={grid}
        label={props.label}
        columns={gridColumns}
        rows={cells}
        marks={props.marks}
        rowNames={props.rowNames}
        hint={props.hint}
        onEdit={(row, column, text) => put(row, column, [[text]], `${row}.${column}`)}
        onPaste={paste}
        onInsertRow={(at) => onRows(rows.toSpliced(at, 0, emptyRow(keys)), 'rows')}
        onDeleteRows={(first, count) => onRows(rows.toSpliced(first, count), 'rows')}
      />
    </div>
  );
}

function gridColumn({ key, header, unit, placeholder, width }: PointColumn<string>) {
  return { key, header, unit, placeholder, width, align: 'end' as const };
}
