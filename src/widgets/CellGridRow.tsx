import { memo } from 'react';
import styles from './cellGrid.module.css';
import { cx } from './cx.ts';
import type { CellColumn, CellMark } from './gridTypes.ts';
import type { CellEdit } from './useCellEdit.ts';

export interface CellGridRowProps {
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
export const CellGridRow = memo(function CellGridRow(props: CellGridRowProps) {
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
                onChange={(event) => props.onText(event.target.value)}
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
