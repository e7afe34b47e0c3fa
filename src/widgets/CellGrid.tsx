import {
  type Ref,
  type RefObject,
  useId,
  useImperativeHandle,
  useLayoutEffect,
  useMemo,
  useRef,
  useState,
} from 'react';
import { CellGridFooter } from './CellGridFooter.tsx';
import { CellGridRow } from './CellGridRow.tsx';
import styles from './cellGrid.module.css';
import { cx } from './cx.ts';
import { groupByRow, type MarksByRow, markAt } from './gridMarks.ts';
import type { CellAt, CellColumn, CellMark } from './gridTypes.ts';
import { type CellGridEvents, type CellGridState, useCellGrid } from './useCellGrid.ts';
import { useFollowingFocus } from './useFollowingFocus.ts';
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
  useActiveReport(grid.active, props.onActive);
  useImperativeHandle(props.ref, () => ({
    focusCell: (row, column) => {
      follow();
      newest.current.go({ row, column });
    },
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
          <GridRows grid={grid} props={props} marks={marks} messageId={`${id}-message`} newest={newest} />
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
          onInsert={props.onInsertRow && !isReadOnly ? () => grid.insertRow(grid.active.row) : undefined}
          onDelete={props.onDeleteRows && !isReadOnly ? grid.deleteRows : undefined}
        />
      )}
    </div>
  );
}

/** Tells the caller where the person is, whenever that changes. */
function useActiveReport({ row, column }: CellAt, onActive: CellGridProps['onActive']) {
  const reported = useRef('0,0');
  useLayoutEffect(() => {
    const place = `${row},${column}`;
    if (reported.current === place) return;
    reported.current = place;
    onActive?.(row, column);
  }, [row, column, onActive]);
}

function GridRows(input: {
  grid: CellGridState;
  props: CellGridProps;
  marks: MarksByRow;
  messageId: string;
  newest: RefObject<CellGridState>;
}) {
  const { grid, props, newest } = input;
  const { active, range } = grid;
  // The same two functions for ever, so that a row renders again only for what it shows.
  const [events] = useState(() => ({
    text: (text: string) => {
      const { edit, write } = newest.current;
      if (edit) write({ ...edit, text });
    },
    leave: () => newest.current.finish(),
  }));
  return (
    <tbody>
      {Array.from({ length: grid.rowCount }, (_, row) => {
        const isIn = row >= range.firstRow && row <= range.lastRow;
        const isActive = row === active.row;
        return (
          <CellGridRow
            // biome-ignore lint/suspicious/noArrayIndexKey: rows are texts without identity; their place is all they are known by
            key={row}
            row={row}
            name={props.rowNames?.[row] ?? (row < props.rows.length ? String(row + 1) : '+')}
            cells={props.rows[row] ?? NO_CELLS}
            columns={props.columns}
            activeColumn={isActive ? active.column : null}
            selectedFirst={isIn ? range.firstColumn : null}
            selectedLast={isIn ? range.lastColumn : null}
            edit={isActive ? grid.edit : null}
            marks={input.marks.get(row)}
            messageId={input.messageId}
            onText={events.text}
            onLeave={events.leave}
          />
        );
      })}
    </tbody>
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
