import { memo, type Ref, type RefObject, useId, useImperativeHandle, useMemo, useRef, useState } from 'react';
import { writableText } from '../units/index.ts';
import { cx, Icon, IconButton } from './Button.tsx';
import styles from './cellGrid.module.css';
import {
  type CellColumn,
  type CellEdit,
  type CellGridEvents,
  type CellGridState,
  type CellMark,
  groupByRow,
  type MarksByRow,
  markAt,
  type SeenRows,
  useCellGrid,
  useSeenRows,
} from './useCellGrid.ts';
import { useFollowingFocus, useGridInput } from './useGridInput.ts';

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
  /** Turns a pasted table that begins at the first column, before columns without room are left out: upright what lies on its side. */
  arrange?: ((matrix: string[][]) => string[][]) | undefined;
  /** Any CSS length: the table scrolls inside. */
  maxHeight?: string | undefined;
  /** Shown below while there is nothing to say about the active cell. */
  hint?: string | undefined;
  ref?: Ref<CellGridHandle> | undefined;
}

const NO_CELLS: readonly string[] = [];
const NO_MARKS: readonly CellMark[] = [];

/**
 * A table of texts to type and paste into, for maps and curves. Arrow keys move (with Shift: select), typing or F2 edits, Enter goes down,
 * Tab right and Escape then Tab out, Delete clears, Ctrl+C, X and V work with spreadsheets. There is always an empty row at the end.
 */
export function CellGrid(props: CellGridProps) {
  const { rows, columns } = props;
  const id = useId();
  const table = useRef<HTMLTableElement>(null);
  const box = useRef<HTMLDivElement>(null);
  const grid = useCellGrid({ ...props, columnCount: columns.length });
  const seen = useSeenRows(box, grid.rowCount, grid.active.row);
  const { follow, newest } = useFollowingFocus(grid, table);
  const { notice, ...events } = useGridInput({
    grid,
    rows,
    columnCount: columns.length,
    arrange: props.arrange,
    follow,
  });
  const marks = useMemo(() => groupByRow(props.marks ?? NO_MARKS), [props.marks]);
  useImperativeHandle(props.ref, () => ({
    focusCell: (row, column) => {
      follow();
      newest.current.go({ row, column });
    },
  }));
  return (
    <div className={styles.grid}>
      <div
        ref={box}
        className={styles.scroll}
        style={{ maxHeight: props.maxHeight ?? (seen.isWhole ? undefined : '60vh') }}
      >
        <table
          {...events}
          ref={table}
          className={styles.table}
          style={{ minWidth: `${columns.length * 5.5 + 2.5}rem` }}
          // biome-ignore lint/a11y/noNoninteractiveElementToInteractiveRole: ARIA in HTML allows grid on a table, and APG's grids are built so
          role="grid"
          aria-label={props.label}
          aria-multiselectable="true"
          aria-describedby={`${id}-keys`}
          aria-rowcount={grid.rowCount + 1}
        >
          <ColumnHeads columns={columns} />
          <GridRows grid={grid} seen={seen} props={props} marks={marks} messageId={`${id}-message`} newest={newest} />
        </table>
      </div>
      <p id={`${id}-keys`} hidden>
        Type to replace, F2 to edit, Enter down, Tab right, Control V pastes from a spreadsheet. Escape, then Tab leaves
        the table.
      </p>
      <CellGridFooter
        messageId={`${id}-message`}
        mark={markAt(marks, grid.active)}
        notice={notice}
        hint={props.hint}
        deleteCount={grid.selectedRowCount}
        onInsert={() => grid.insertRow(grid.active.row)}
        onDelete={grid.deleteRows}
      />
    </div>
  );
}

function GridRows(input: {
  grid: CellGridState;
  seen: SeenRows;
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
  const draw = (row: number) => {
    const isIn = row >= range.firstRow && row <= range.lastRow;
    const isActive = row === active.row;
    return (
      <CellGridRow
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
  };
  const { spans, rowPx } = input.seen;
  const room = (from: number, to: number) =>
    to > from && (
      <tr key={`room-${from}`} style={{ height: (to - from) * rowPx }}>
        <td />
      </tr>
    );
  return (
    <tbody>
      {spans.map(([first, last], i) => [
        room((spans[i - 1]?.[1] ?? -1) + 1, first),
        Array.from({ length: last - first + 1 }, (_, k) => draw(first + k)),
      ])}
      {room((spans.at(-1)?.[1] ?? -1) + 1, grid.rowCount)}
    </tbody>
  );
}

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
            {column.unit && <span className="ui-faint ui-plain nowrap"> {column.unit}</span>}
          </th>
        ))}
      </tr>
    </thead>
  );
}

interface CellGridRowProps {
  row: number;
  cells: readonly string[];
  columns: readonly CellColumn[];
  /** Of the active cell when it is in this row. */
  activeColumn: number | null;
  /** Selected columns of this row; null: none. */
  selectedFirst: number | null;
  selectedLast: number | null;
  edit: CellEdit | null;
  marks: readonly CellMark[] | undefined;
  /** Shown instead of the row's number. */
  name: string;
  messageId: string;
  onText: (text: string) => void;
  onLeave: () => void;
}

/** One row; renders again only when something in it changed, so that two hundred of them are no burden. */
const CellGridRow = memo(function CellGridRow(props: CellGridRowProps) {
  const { row, columns, activeColumn, edit, marks } = props;
  const rowMark = marks?.find((mark) => mark.column === null);
  return (
    <tr aria-rowindex={row + 2}>
      <th
        scope="row"
        className={cx(styles.rowName, rowMark && styles[rowMark.severity])}
        data-row={row}
        title={rowMark?.message}
      >
        {props.name}
      </th>
      {columns.map((column, index) => {
        const isActive = index === activeColumn;
        const isSelected =
          props.selectedFirst !== null && index >= props.selectedFirst && index <= (props.selectedLast ?? -1);
        const mark = marks?.find((candidate) => candidate.column === index);
        const text = props.cells[index] ?? '';
        return (
          <td
            key={column.key}
            // biome-ignore lint/a11y/noNoninteractiveElementToInteractiveRole: gridcell on the cells of a grid, as ARIA in HTML allows
            role="gridcell"
            data-row={row}
            data-column={index}
            tabIndex={isActive ? 0 : -1}
            aria-selected={isSelected}
            aria-invalid={mark?.severity === 'error' || undefined}
            aria-describedby={isActive && (mark || rowMark) ? props.messageId : undefined}
            title={mark?.message}
            className={cx(
              styles.cell,
              column.align === 'start' ? styles.start : styles.end,
              isSelected && styles.selected,
              isActive && styles.active,
              mark && styles[mark.severity],
            )}
          >
            {isActive && edit ? (
              <input
                className={styles.editor}
                aria-label={`${column.header}, row ${props.name}`}
                inputMode={column.align === 'start' ? 'text' : 'decimal'}
                autoComplete="off"
                spellCheck={false}
                value={edit.text}
                onChange={(event) => props.onText(writableText(event.target.value))}
                onBlur={props.onLeave}
              />
            ) : text === '' && column.placeholder ? (
              <span className={styles.placeholder}>{column.placeholder}</span>
            ) : (
              text
            )}
          </td>
        );
      })}
    </tr>
  );
}, sameRow);

function sameRow(before: CellGridRowProps, after: CellGridRowProps): boolean {
  for (const key of Object.keys(after) as (keyof CellGridRowProps)[]) {
    if (key !== 'cells' && !Object.is(before[key], after[key])) return false;
  }
  const { cells } = after;
  return (
    before.cells === cells ||
    (before.cells.length === cells.length && cells.every((text, i) => text === before.cells[i]))
  );
}

/** One line under a grid: what there is to say about the active cell or the last paste, and the row buttons. Its height does not change. */
function CellGridFooter(props: {
  messageId: string;
  mark: CellMark | undefined;
  notice: string | null;
  hint: string | undefined;
  deleteCount: number;
  onInsert: () => void;
  onDelete: () => void;
}) {
  const { mark, notice } = props;
  return (
    <div className="row gap-xxs line-high">
      <p
        id={props.messageId}
        role="status"
        className={cx(styles.message, !notice && mark && styles[`${mark.severity}Text`])}
      >
        {notice ?? (mark && <Icon name={mark.severity === 'error' ? 'stop' : 'caution'} />)}
        {!notice && (mark?.message ?? props.hint)}
      </p>
      <IconButton icon="plus" label="Insert a row above" onPress={props.onInsert} />
      <IconButton
        icon="trash"
        label={props.deleteCount > 1 ? `Delete ${props.deleteCount} rows` : 'Delete the row'}
        isDisabled={props.deleteCount === 0}
        onPress={props.onDelete}
      />
    </div>
  );
}
