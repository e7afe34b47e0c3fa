import { type KeyboardEvent, memo, useCallback, useEffect, useMemo, useRef } from 'react';
import { columnUnitLabel, type PointColumn } from '../../shared/pointColumns.ts';
import type { PointRow } from '../../shared/pointRows.ts';
import type { ResultUnits } from '../../shared/resultUnits.ts';
import styles from './points.module.css';
import { useRowsInSight } from './useRowsInSight.ts';

interface Props {
  rows: readonly PointRow[];
  columns: readonly PointColumn[];
  units: ResultUnits;
  selectedRpm: number | null;
  /** Brought into sight when it changes: chosen by a finding or on the map. Pointing alone must not move the table. */
  chosenRpm: number | null;
  onSelect: (engineSpeedRpm: number) => void;
}

/** All operating points. Arrow keys walk along the line; the chosen row is the one whose place the map and the read-out show. */
export const PointsTable = memo(function PointsTable({
  rows,
  columns,
  units,
  selectedRpm,
  chosenRpm,
  onSelect,
}: Props) {
  const box = useRef<HTMLElement>(null);
  const { drawn, isBehind } = useRowsInSight(box, rows);
  const onKeyDown = (event: KeyboardEvent) => {
    const next = steppedRow(event.key, rows, selectedRpm);
    if (next === null) return;
    event.preventDefault();
    onSelect(next.engineSpeedRpm);
  };
  useEffect(() => {
    const row = chosenRpm === null ? null : box.current?.querySelector<HTMLElement>(`[data-rpm="${chosenRpm}"]`);
    if (box.current && row) keepInSight(box.current, row);
  }, [chosenRpm]);
  const select = useCallback((rpm: number) => onSelect(rpm), [onSelect]);
  const heading = useMemo(() => <Heading columns={columns} units={units} />, [columns, units]);
  return (
    <section
      ref={box}
      className={styles.scroll}
      aria-label="Operating points, arrow keys walk the rows"
      // biome-ignore lint/a11y/noNoninteractiveTabindex: a box that scrolls must be reachable by keyboard, and its arrow keys walk the rows
      tabIndex={0}
      onKeyDown={onKeyDown}
    >
      <table
        className={styles.table}
        aria-label="Operating points"
        aria-busy={isBehind || undefined}
        style={{ minWidth: columns.reduce((sum, { width }) => sum + width, ENGINE_SPEED_WIDTH + REMARK_WIDTH) }}
      >
        <colgroup>
          <col style={{ width: ENGINE_SPEED_WIDTH }} />
          {columns.map(({ key, width }) => (
            <col key={key} style={{ width }} />
          ))}
          <col />
        </colgroup>
        {heading}
        <tbody>
          {drawn.map((row) => (
            <Row
              key={row.engineSpeedRpm}
              row={row}
              // Cells compare by their text: a row whose figures did not change is not drawn again.
              text={row.cells?.join('|') ?? ''}
              span={columns.length}
              selected={row.engineSpeedRpm === selectedRpm}
              onSelect={select}
            />
          ))}
        </tbody>
      </table>
    </section>
  );
});

/** Scrolls the box, and only the box, as far as needed; the heading stands over its top. */
function keepInSight(box: HTMLElement, row: HTMLElement): void {
  const heading = box.querySelector('thead')?.getBoundingClientRect().height ?? 0;
  const top = row.offsetTop - heading;
  const bottom = row.offsetTop + row.offsetHeight - box.clientHeight;
  if (box.scrollTop > top) box.scrollTop = top;
  else if (box.scrollTop < bottom) box.scrollTop = bottom;
}

const ENGINE_SPEED_WIDTH = 74;
/** Room for 'below the lowest line'. */
const REMARK_WIDTH = 128;

function steppedRow(key: string, rows: readonly PointRow[], selectedRpm: number | null): PointRow | null {
  const at = rows.findIndex((row) => row.engineSpeedRpm === selectedRpm);
  if (key === 'ArrowDown') return rows[Math.min(at + 1, rows.length - 1)] ?? null;
  if (key === 'ArrowUp') return rows[Math.max(at < 0 ? 0 : at - 1, 0)] ?? null;
  if (key === 'Home') return rows[0] ?? null;
  if (key === 'End') return rows.at(-1) ?? null;
  return null;
}

function Heading({ columns, units }: { columns: readonly PointColumn[]; units: ResultUnits }) {
  return (
    <thead>
      <tr>
        <HeadingCell title="Engine speed" unit="rpm" />
        {columns.map((column) => (
          <HeadingCell key={column.key} title={column.title} unit={columnUnitLabel(column, units)} />
        ))}
        <th scope="col" className={styles.remark}>
          Remark
        </th>
      </tr>
    </thead>
  );
}

/** Two short lines, so that a column is no wider than its numbers: 'Shaft' over 'speed, rpm', 'Boost' over 'kPa'. */
function HeadingCell({ title, unit }: { title: string; unit: string }) {
  const at = title.indexOf(' ');
  const [first, rest] = at < 0 ? [title, ''] : [title.slice(0, at), title.slice(at + 1)];
  return (
    <th scope="col">
      {first}
      <span className={styles.second}>
        {rest}
        {unit !== '' && <span className={styles.unit}>{rest === '' ? unit : `, ${unit}`}</span>}
      </span>
    </th>
  );
}

interface RowProps {
  row: PointRow;
  text: string;
  span: number;
  selected: boolean;
  onSelect: (engineSpeedRpm: number) => void;
}

const Row = memo(
  function Row({ row, span, selected, onSelect }: RowProps) {
    return (
      <tr
        className={row.cells === null ? `${styles.row} ${styles.missing}` : styles.row}
        data-rpm={row.engineSpeedRpm}
        aria-current={selected || undefined}
        onClick={() => onSelect(row.engineSpeedRpm)}
      >
        <th scope="row">{row.engineSpeed}</th>
        {row.cells?.map((cell, index) => (
          // biome-ignore lint/suspicious/noArrayIndexKey: a cell is its column, and columns keep their place
          <td key={index}>{cell}</td>
        ))}
        {row.cells === null && (
          <td colSpan={span + 1} className={styles.remark}>
            {row.remark}
          </td>
        )}
        {row.cells !== null && <td className={styles.remark}>{row.remark}</td>}
      </tr>
    );
  },
  (before, after) =>
    before.text === after.text &&
    before.selected === after.selected &&
    before.span === after.span &&
    before.onSelect === after.onSelect &&
    before.row.remark === after.row.remark &&
    before.row.engineSpeedRpm === after.row.engineSpeedRpm,
);
