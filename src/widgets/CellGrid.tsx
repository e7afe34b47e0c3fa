import { type Ref, useId, useImperativeHandle, useLayoutEffect, useMemo, useRef, useState } from 'react';
import { CellGridFooter } from './CellGridFooter.tsx';
import { CellGridRow } from './CellGridRow.tsx';
import styles from './cellGrid.module.css';
import { cx } from './cx.ts';
import type { CellAt, CellColumn, CellMark } from './gridTypes.ts';
import { type CellGridEvents, type CellGridState, useCellGrid } from './useCellGrid.ts';
import { useGridInput } from './useGridInput.ts';

export interface CellGridHandle {
  /** Makes the cell the active one, scrolls it into sight and puts the keyboard there. */
  focusCell: (row: number, column: number) => void;
}

export interface CellGridProps extends CellGridEvents {
  /** What the table holds, for screen readers. */
  label: string;
  /** Keep the same array between renders. */
  columns: readonly CellColumn[];
  /** Texts, row by row, as typed. */
  rows: readonly (readonly string[])[];
  marks?: readonly CellMark[] | undefined;
  /** Names of the rows instead of 1, 2, 3 ... */
  rowNames?: readonly string[] | undefined;
  isReadOnly?: boolean | undefined;
  /** Any CSS length: the table scrolls inside. */
  maxHeight?: string | undefined;
  /** false: no line with messages and row buttons below. */
  hasFooter?: boolean | undefined;
  /** Shown below while there is nothing to say about the active cell. */
  hint?: string | undefined;
  className?: string | undefined;
  /** The cell that the person is at, whenever it changes. */
  onActive?: ((row: number, column: number) => void) | undefined;
  ref?: Ref<CellGridHandle> | undefined;
}

const NO_CELLS: readonly string[] = [];
const NO_MARKS: readonly CellMark[] = [];

/**
 * A table of texts to type and paste into, for maps and curves. Arrow keys move (with Shift: select), typing or F2 edits, Enter goes down,
 * Tab right and Escape then Tab out, Delete clears, Ctrl+C, X and V work with spreadsheets. There is always an empty row at the end.
 */
export function CellGrid(props: CellGridProps) {
  const { rows, columns, isReadOnly = false } = props;
  const id = useId();
  const table = useRef<HTMLTableElement>(null);
  const grid = useCellGrid({ ...props, columnCount: columns.length, isReadOnly });
  const { follow, newest } = useFollowingFocus(grid, table);
  const { notice, ...events } = useGridInput({ grid, rows, columnCount: columns.length, isReadOnly, follow });
  const marks = useMemo(() => groupByRow(props.marks ?? NO_MARKS), [props.marks]);
  const { onActive } = props;
  const { row: activeRow, column: activeColumn } = grid.active;
  const reported = useRef('0,0');
  useLayoutEffect(() => {
    const place = `${activeRow},${activeColumn}`;
    if (reported.current === place) return;
    reported.current = place;
    onActive?.(activeRow, activeColumn);
  }, [activeRow, activeColumn, onActive]);
  useImperativeHandle(props.ref, () => ({
    focusCell: (row, column) => {
      follow();
      newest.current.go({ row, column });
    },
  }));
  const [cellEvents] = useState(() => ({
    text: (text: string) => {
      const { edit, write } = newest.current;
      if (edit) write({ ...edit, text });
    },
    leave: () => newest.current.finish(),
  }));
  return (
    <div className={cx(styles.grid, props.className)}>
      <div className={styles.scroll} style={{ maxHeight: props.maxHeight }}>
        <table
          {...events}
          ref={table}
          className={styles.table}
          style={{ minWidth: `${columns.length * 5.5 + 2.5}rem` }}
          // biome-ignore lint/a11y/noNoninteractiveElementToInteractiveRole: ARIA in HTML allows grid on a table, and APG's grids are built so
          role="grid"
          aria-label={props.label}
          aria-multiselectable="true"
          aria-readonly={isReadOnly || undefined}
          aria-describedby={`${id}-keys`}
          aria-rowcount={grid.rowCount + 1}
        >
          <ColumnHeads columns={columns} />
          <tbody>
            {Array.from({ length: grid.rowCount }, (_, row) => {
              const isIn = row >= grid.range.firstRow && row <= grid.range.lastRow;
              const isActive = row === activeRow;
              return (
                <CellGridRow
                  // biome-ignore lint/suspicious/noArrayIndexKey: rows are texts without identity; their place is all they are known by
                  key={row}
                  row={row}
                  name={props.rowNames?.[row] ?? (row < rows.length ? String(row + 1) : '+')}
                  cells={rows[row] ?? NO_CELLS}
                  columns={columns}
                  activeColumn={isActive ? activeColumn : null}
                  selectedFirst={isIn ? grid.range.firstColumn : null}
                  selectedLast={isIn ? grid.range.lastColumn : null}
                  edit={isActive ? grid.edit : null}
                  marks={marks.get(row)}
                  messageId={`${id}-message`}
                  onText={cellEvents.text}
                  onLeave={cellEvents.leave}
                />
              );
            })}
          </tbody>
        </table>
      </div>
      <p id={`${id}-keys`} hidden>
        {isReadOnly ? READING_KEYS : TYPING_KEYS}
      </p>
      {props.hasFooter !== false && (
        <CellGridFooter
          messageId={`${id}-message`}
          mark={markAt(marks, grid.active)}
          notice={notice}
          hint={props.hint}
          deleteCount={grid.selectedRowCount}
          onInsert={props.onInsertRow && !isReadOnly ? () => grid.insertRow(activeRow) : undefined}
          onDelete={props.onDeleteRows && !isReadOnly ? grid.deleteRows : undefined}
        />
      )}
    </div>
  );
}

const TYPING_KEYS =
  'Type to replace, F2 to edit, Enter down, Tab right, Control V pastes from a spreadsheet. Escape, then Tab leaves the table.';
const READING_KEYS = 'Arrow keys move, Shift selects, Control C copies. Escape, then Tab leaves the table.';

function ColumnHeads({ columns }: { columns: readonly CellColumn[] }) {
  return (
    <thead>
      <tr aria-rowindex={1}>
        <th className={styles.corner} scope="col">
          <span className={styles.hidden}>Row</span>
        </th>
        {columns.map((column) => (
          <th
            key={column.key}
            scope="col"
            className={cx(styles.header, column.align === 'start' ? styles.start : styles.end)}
            style={{ width: column.width }}
          >
            {column.header}
            {column.unit && <span className={styles.headerUnit}> {column.unit}</span>}
          </th>
        ))}
      </tr>
    </thead>
  );
}

/** After something the person did (`follow`), the keyboard goes to the active cell, or into its text. */
function useFollowingFocus(grid: CellGridState, table: React.RefObject<HTMLTableElement | null>) {
  const isWanted = useRef(false);
  const newest = useRef(grid);
  useLayoutEffect(() => {
    newest.current = grid;
    if (!isWanted.current) return;
    isWanted.current = false;
    const { row, column } = grid.active;
    const cell = table.current?.querySelector<HTMLElement>(`td[data-row="${row}"][data-column="${column}"]`);
    const input = cell?.querySelector('input');
    if (!input) cell?.focus();
    else if (document.activeElement !== input) {
      input.focus();
      input.setSelectionRange(input.value.length, input.value.length);
    }
  });
  const [follow] = useState(() => () => {
    isWanted.current = true;
  });
  return { follow, newest };
}

function groupByRow(marks: readonly CellMark[]): ReadonlyMap<number, readonly CellMark[]> {
  const rows = new Map<number, CellMark[]>();
  for (const mark of marks) {
    const row = rows.get(mark.row);
    if (row) row.push(mark);
    else rows.set(mark.row, [mark]);
  }
  return rows;
}

/** The mark of that cell, errors first, else of its row. */
function markAt(marks: ReadonlyMap<number, readonly CellMark[]>, at: CellAt): CellMark | undefined {
  const ofRow = marks.get(at.row) ?? NO_MARKS;
  const ofCell = ofRow.filter((mark) => mark.column === at.column);
  return ofCell.find((mark) => mark.severity === 'error') ?? ofCell[0] ?? ofRow.find((mark) => mark.column === null);
}
