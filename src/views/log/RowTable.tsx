import { type KeyboardEvent, useEffect, useRef } from 'react';
import type { RoadLogRow } from '../../match/types.ts';
import { useResultUnits } from '../shared/display.ts';
import { CLASS_WORDS } from '../shared/logSentences.ts';
import styles from './log.module.css';
import { rowWords } from './model/logCharts.ts';

/** As many rows stand in the table; the others are on the charts. */
const MOST_ROWS = 60;
const PAGE = 10;

interface Props {
  rows: readonly RoadLogRow[];
  focus: number | null;
  onRow: (row: number) => void;
}

/** The rows as a grid with one stop for the Tab key: arrows, Page Up and Down, Home and End walk along it, and map and charts follow. */
export function RowTable({ rows, focus, onRow }: Props) {
  const units = useResultUnits();
  const grid = useRef<HTMLTableElement>(null);
  const every = Math.max(1, Math.ceil(rows.length / MOST_ROWS));
  const listed = rows.filter((row, at) => at % every === 0 || row.row === focus);
  const at = listed.findIndex(({ row }) => row === focus);
  useEffect(() => {
    // Only where the hand is in the table: pointing at the map must not take the keyboard away.
    const table = grid.current;
    if (at < 0 || table === null || !table.contains(document.activeElement)) return;
    table.querySelector<HTMLElement>('tr[tabindex="0"]')?.focus();
  }, [at]);
  const [first] = listed;
  if (first === undefined) return <p className={styles.cautions}>No row of a pull lies in the selection.</p>;
  const walk = (event: KeyboardEvent) => {
    const last = listed.length - 1;
    const from = Math.max(at, 0);
    const targets: Readonly<Record<string, number>> = {
      ArrowDown: at < 0 ? 0 : from + 1,
      ArrowUp: from - 1,
      PageDown: from + PAGE,
      PageUp: from - PAGE,
      Home: 0,
      End: last,
      Enter: from,
      ' ': from,
    };
    const to = targets[event.key];
    if (to === undefined || event.ctrlKey || event.metaKey || event.altKey) return;
    event.preventDefault();
    onRow(listed[Math.min(Math.max(to, 0), last)]!.row);
  };
  return (
    <div className={styles.scroll}>
      <table
        ref={grid}
        // biome-ignore lint/a11y/noNoninteractiveElementToInteractiveRole: its rows are walked and chosen, as in a grid
        role="grid"
        className={`${styles.table} ${styles.rows}`}
        aria-label={`Rows of the pulls${every > 1 ? `, one in ${every}` : ''}`}
        onKeyDown={walk}
      >
        <thead>
          <tr>
            {rowWords(first, units).map(({ title }) => (
              <th key={title} scope="col">
                {title}
              </th>
            ))}
            <th scope="col">Row is</th>
          </tr>
        </thead>
        <tbody>
          {listed.map((row, number) => (
            <tr
              key={row.row}
              tabIndex={number === Math.max(at, 0) ? 0 : -1}
              aria-selected={row.row === focus}
              onPointerDown={() => onRow(row.row)}
            >
              {rowWords(row, units).map(({ title, value }) => (
                <td key={title}>{value}</td>
              ))}
              <td>
                {CLASS_WORDS[row.class]}
                {row.flows.length > 1 ? ', ambiguous' : ''}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}
