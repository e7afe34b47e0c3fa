import {
  type KeyboardEvent,
  memo,
  type RefObject,
  useCallback,
  useEffect,
  useMemo,
  useReducer,
  useRef,
  useState,
} from 'react';
import type { ResultUnits } from '../../../match/index.ts';
import { type CandidateResults, selectDayAir, useBuildField, useLugline } from '../../../store/index.ts';
import { Button } from '../../../widgets/index.ts';
import { candidateLetter, useResultUnits } from '../../shared/display.ts';
import {
  columnUnitLabel,
  type PointColumn,
  type PointRow,
  pointColumns,
  pointRows,
  pointTableText,
} from '../../shared/pointTable.ts';
import { CopyButton, fileName, saveFile } from '../../shared/ToolBar.tsx';
import { EstimateTag } from '../results/signs.tsx';
import pointStyles from './points.module.css';

interface Props {
  results: CandidateResults;
  index: number;
  selectedRpm: number | null;
  chosenRpm: number | null;
  onSelect: (engineSpeedRpm: number) => void;
}

/** All operating points as a table, in units of choice, to copy or to save. */
export const PointsPanel = memo(function PointsPanel({ results, index, selectedRpm, chosenRpm, onSelect }: Props) {
  const units = useResultUnits();
  const checked = useBuildField('fuelSupply.checked');
  const ambientPressurePa = useLugline((state) => selectDayAir(state).air?.ambient.pressurePa ?? null);
  const { points } = results;
  const hasTurbine = results.input?.turbine !== undefined;
  const hasGate = results.input?.turbine?.gateAreaM2 !== undefined;
  const columns = useMemo(
    () => pointColumns({ checked }, hasTurbine, units, hasGate),
    [checked, hasTurbine, units, hasGate],
  );
  const isEstimate = results.surface?.estimate !== undefined;
  const rows = useMemo(
    () => pointRows(points, columns, { ambientPressurePa, isEstimate }, units),
    [points, columns, ambientPressurePa, isEstimate, units],
  );
  const text = (kind: 'tsv' | 'csv') => pointTableText(rows, columns, units, kind);
  const newest = useRef(text);
  newest.current = text;
  return (
    <section className="pane one-column ui-grid top-pane tall" aria-labelledby="points-title">
      <PointsTools
        letter={candidateLetter(index)}
        name={results.candidate.name}
        isEstimate={isEstimate}
        text={newest}
        isEmpty={rows.length === 0}
      />
      <PointsTable
        rows={rows}
        columns={columns}
        units={units}
        selectedRpm={selectedRpm}
        chosenRpm={chosenRpm}
        onSelect={onSelect}
      />
    </section>
  );
});

interface ToolsProps {
  letter: string;
  name: string;
  isEstimate: boolean;
  /** The table as text; a reference, since the numbers change with every keystroke and these tools do not. */
  text: RefObject<(kind: 'tsv' | 'csv') => string>;
  isEmpty: boolean;
}

const PointsTools = memo(function PointsTools({ letter, name, isEstimate, text, isEmpty }: ToolsProps) {
  return (
    <div className="row gap-m pad">
      <h2 id="points-title" className="nowrap">
        Operating points of {letter}
      </h2>
      {isEstimate && <EstimateTag />}
      <span className="grow" />
      <CopyButton label="Copy the table for a spreadsheet" text={() => text.current('tsv')} isDisabled={isEmpty} />
      <Button
        label="Save the table as a CSV file"
        isDisabled={isEmpty}
        // The mark tells spreadsheets that the text is UTF-8: without it °C comes out garbled.
        onPress={() =>
          saveFile(
            fileName(name, isEstimate ? 'points-estimate' : 'points', 'csv'),
            `\uFEFF${text.current('csv')}`,
            'text/csv',
          )
        }
      >
        CSV
      </Button>
    </div>
  );
});

interface TableProps {
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
}: TableProps) {
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
      className={pointStyles.scroll}
      aria-label="Operating points, arrow keys walk the rows"
      // biome-ignore lint/a11y/noNoninteractiveTabindex: a box that scrolls must be reachable by keyboard, and its arrow keys walk the rows
      tabIndex={0}
      onKeyDown={onKeyDown}
    >
      <table
        className={pointStyles.table}
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
        <HeadingCell title="Engine speed" whose="" unit="rpm" />
        {columns.map((column) => (
          <HeadingCell
            key={column.key}
            title={column.title}
            whose={column.whose}
            unit={columnUnitLabel(column, units)}
          />
        ))}
        <th scope="col" className={pointStyles.remark}>
          Remark
        </th>
      </tr>
    </thead>
  );
}

/** Two short lines, so that a column is no wider than its numbers: 'Shaft' over 'speed, rpm', 'Boost' over 'kPa'. */
function HeadingCell({ title, whose, unit }: { title: string; whose: string; unit: string }) {
  const at = title.indexOf(' ');
  const [first, rest] = at < 0 ? [title, ''] : [title.slice(0, at), title.slice(at + 1)];
  return (
    <th scope="col">
      {whose !== '' && <span className={pointStyles.whose}>{whose} </span>}
      {first}
      <span className={pointStyles.second}>
        {rest}
        {unit !== '' && <span className="soft ui-plain">{rest === '' ? unit : `, ${unit}`}</span>}
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
        className={row.cells === null ? `${pointStyles.row} ${pointStyles.missing}` : pointStyles.row}
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
          <td colSpan={span + 1} className={pointStyles.remark}>
            {row.remark}
          </td>
        )}
        {row.cells !== null && <td className={pointStyles.remark}>{row.remark}</td>}
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

/** Rows out of sight wait until the input has rested so long: a slider that is dragged draws in each frame only what can be seen. */
const REST_MS = 120;

interface RowsInSight {
  drawn: readonly PointRow[];
  /** Some rows out of sight are behind; whoever reads the whole table must wait. */
  isBehind: boolean;
}

/**
 * The rows to draw: those in sight as they are now, those scrolled out of it as they were drawn last, until the input rests. A row that comes into
 * sight is brought up to date with it. Without an observer, or before it has looked, every row counts as seen.
 * @param box The scrolling box around rows that carry `data-rpm`.
 */
function useRowsInSight(box: RefObject<HTMLElement | null>, rows: readonly PointRow[]): RowsInSight {
  const speeds = rows.map(({ engineSpeedRpm }) => engineSpeedRpm).join();
  const unseen = useUnseenRows(box, speeds);
  const [rested, setRested] = useState(rows);
  const before = useRef(rows);
  const drawn =
    rested === rows
      ? rows
      : rows.map((row, index) => {
          const last = before.current[index];
          return last?.engineSpeedRpm === row.engineSpeedRpm && unseen.has(row.engineSpeedRpm) ? last : row;
        });
  const isBehind = drawn.some((row, index) => row !== rows[index]);
  useEffect(() => {
    before.current = drawn;
  });
  useEffect(() => {
    if (!isBehind) return;
    const timer = setTimeout(() => setRested(rows), REST_MS);
    return () => clearTimeout(timer);
  }, [isBehind, rows]);
  return { drawn, isBehind };
}

/** Engine speeds of the rows that are out of sight. The same set for ever, so that it can be read at any time; draws again when one comes in. */
function useUnseenRows(box: RefObject<HTMLElement | null>, speeds: string): ReadonlySet<number> {
  const unseen = useRef(new Set<number>()).current;
  const [, draw] = useReducer((count: number) => count + 1, 0);
  // biome-ignore lint/correctness/useExhaustiveDependencies: other engine speeds are other rows to look at
  useEffect(() => {
    unseen.clear();
    if (box.current === null || !('IntersectionObserver' in globalThis)) return;
    const look = (entries: readonly IntersectionObserverEntry[]) => {
      let cameIn = false;
      for (const { target, isIntersecting } of entries) {
        const rpm = Number((target as HTMLElement).dataset.rpm);
        if (isIntersecting) cameIn = unseen.delete(rpm) || cameIn;
        else unseen.add(rpm);
      }
      if (cameIn) draw();
    };
    // A row or two more than can be seen, so that the next ones are right before they are scrolled to.
    const observer = new IntersectionObserver(look, { root: box.current, rootMargin: '24px' });
    for (const row of box.current.querySelectorAll('[data-rpm]')) observer.observe(row);
    return () => observer.disconnect();
  }, [box, unseen, speeds]);
  return unseen;
}
