import { useCallback, useMemo } from 'react';
import type { DraftCell3, DraftLine, MapDraft } from '../../build/index.ts';
import type { AuditFinding } from '../../compressor/index.ts';
import { Button, ChoiceRow, Icon, IconButton, TextLine } from '../../widgets/index.ts';
import { type TableProps, type Target, useGoneTo } from './desk.ts';
import { addLine, emptyPoint, removeLine, setLinePoints, setLineSpeed, sortLines, sortPoints } from './editDraft.ts';
import styles from './maps.module.css';
import { allColumns, cellMarks, keyOf, lineColumns, PointGrid, useColumns } from './PointGrid.tsx';
import { pastedFlowFactor } from './paste/takePaste.ts';
import { viewOf } from './sheetKinds/kinds.ts';
import { speedName, speedUnitLabel } from './sheetKinds/sheetKind.ts';

const TABLES = [
  { key: 'one', name: 'Line by line' },
  { key: 'all', name: 'All in one table' },
] as const;

/** The lines of the sheet: line by line, or all of them in one table. */
export function LinesPanel(props: TableProps & { onPasteTable: () => void }) {
  const { draft, desk, actions, edit } = props;
  const isScrambled = props.findings.some((f) => f.code === 'points-unordered' || f.code === 'doubles-back');
  return (
    <div className={styles.panel}>
      <div className={styles.panelTools}>
        <ChoiceRow
          label="Show"
          hideLabel
          value={desk.table}
          options={TABLES}
          onChange={(table) => actions.set({ table })}
        />
        <Button icon="table" onPress={props.onPasteTable}>
          Paste a table
        </Button>
        {isScrambled && (
          <Button onPress={() => edit(sortPoints, 'sort points', 'sort-points')}>Sort points along lines</Button>
        )}
      </div>
      {desk.table === 'all' ? (
        <AllLines {...props} />
      ) : (
        <div className={styles.lineByLine}>
          <LineList {...props} />
          <div className="column gap-m narrow">
            <LineSpeed {...props} />
            {draft.speedLines[desk.line] !== undefined && <LinePoints {...props} />}
          </div>
        </div>
      )}
    </div>
  );
}

/** The corrected speed of the chosen line. */
function LineSpeed({ draft, findings, desk, actions, edit }: TableProps) {
  const { line, goTo } = desk;
  const isTarget = goTo?.place.part === 'speed-line' && goTo.place.line === line && goTo.place.point === undefined;
  const field = useGoneTo(isTarget, actions);
  const chosen = draft.speedLines[line];
  const { mayLackSpeed } = viewOf(draft);
  const problem = findings.find(
    (f) =>
      f.severity !== 'note' &&
      f.place?.part === 'speed-line' &&
      f.place.line === line &&
      f.place.point === undefined &&
      // A line that may lack its speed and has no points does not want one: the audit says it.
      (!mayLackSpeed || f.column === 'speed'),
  );
  return (
    <div ref={field} className={styles.lineSpeedField}>
      <TextLine
        label={`${speedName(draft)}, ${speedUnitLabel(draft)}`}
        {...(mayLackSpeed && { placeholder: 'none given' })}
        value={chosen?.speed ?? ''}
        onChange={(speed) =>
          edit(
            (d) => (d.speedLines[line]?.speed === speed ? d : setLineSpeed(d, line, speed)),
            'edit speed',
            `speed.${line}`,
          )
        }
        error={problem?.message ?? null}
      />
    </div>
  );
}

/** Where the typing of a line begins: at its speed, or where it may lack that at its first point. */
export function startOfLine(draft: MapDraft, line: number): Target {
  const { mayLackSpeed } = viewOf(draft);
  const place = { part: 'speed-line', line, ...(mayLackSpeed && { point: 0 }) } as const;
  return { place, code: mayLackSpeed ? '' : 'speed' };
}

/** The lines by their speed, to choose, add, delete and sort. */
function LineList({ draft, findings, desk, actions, edit }: TableProps) {
  const { speedLines } = draft;
  const { line: called, lineList, unnamedLine } = viewOf(draft);
  const chosen = speedLines[desk.line];
  const items = useMemo(
    () =>
      speedLines.map((line, i) => ({
        name: line.speed.trim() === '' ? unnamedLine(i) : line.speed,
        note: String(line.points.filter((p) => p.flow.trim() !== '' && p.pressureRatio.trim() !== '').length),
        worst: findings.find((f) => f.place?.part === 'speed-line' && f.place.line === i && f.severity !== 'note'),
      })),
    [speedLines, findings, unnamedLine],
  );
  const add = () => {
    edit(addLine, `add ${called}`, 'lines');
    actions.set({ line: speedLines.length, goTo: startOfLine(draft, speedLines.length) });
  };
  const remove = () => {
    edit((d) => removeLine(d, desk.line), `delete ${called}`, `remove.${desk.line}`);
    actions.set({ line: Math.max(0, Math.min(desk.line, speedLines.length - 2)) });
  };
  const sort = () => {
    edit(sortLines, 'sort lines by speed', 'sort');
    // The chosen line stays chosen, wherever it moves.
    if (chosen) actions.set({ line: Math.max(0, sortLines(draft).speedLines.indexOf(chosen)) });
  };
  return (
    <div className={styles.lineList}>
      <PickList
        label={lineList}
        items={items}
        chosen={desk.line}
        onChoose={(line) => actions.set({ line })}
        onRest={(line) => actions.set({ row: line === null ? null : { part: 'speed-line', line } })}
      />
      <div className={styles.lineTools}>
        <Button variant="quiet" icon="plus" onPress={add}>
          Line
        </Button>
        <IconButton
          icon="trash"
          label={
            chosen?.speed.trim() ? `Delete the ${chosen.speed} ${speedUnitLabel(draft)} line` : 'Delete the chosen line'
          }
          onPress={remove}
        />
      </div>
      {sortLines(draft) !== draft && (
        <Button variant="quiet" onPress={sort}>
          Sort by speed
        </Button>
      )}
    </div>
  );
}

/** The points of the chosen speed line. */
function LinePoints({ draft, findings, desk, actions, edit }: TableProps) {
  const { line, goTo } = desk;
  const { columns, keys } = useColumns(draft, lineColumns);
  const chosen = draft.speedLines[line];
  const marks = useMemo(
    () =>
      cellMarks(findings, keys, (place) =>
        place.part === 'speed-line' && place.line === line ? (place.point ?? null) : null,
      ),
    [findings, keys, line],
  );
  const target = useMemo(() => {
    if (goTo === null || goTo.place.part !== 'speed-line' || goTo.place.line !== line) return null;
    if (goTo.place.point === undefined) return null;
    const key = keyOf(goTo);
    return { row: goTo.place.point, key: key === null || key === 'speed' ? keys[0]! : key };
  }, [goTo, keys, line]);
  const arrived = useCallback(() => actions.set({ goTo: null }), [actions]);
  if (chosen === undefined) return null;
  const { order, pointHint, paste } = viewOf(draft);
  const name =
    chosen.speed.trim() === '' ? 'the line without a speed' : `the ${chosen.speed} ${speedUnitLabel(draft)} line`;
  return (
    <PointGrid
      // Another line is another table: what was being typed or selected does not move over.
      key={line}
      label={`Points of ${name}, ${order}`}
      columns={columns}
      form={paste}
      flowFactor={(unit) => pastedFlowFactor(draft, unit)}
      rows={chosen.points}
      onRows={(rows, key) => edit((d) => setLinePoints(d, line, rows), 'edit points', `line.${line}.${key}`)}
      marks={marks}
      goTo={target}
      onArrived={arrived}
      onRow={(row) => actions.set({ row: row === null ? null : { part: 'speed-line', line, point: row } })}
      hint={`${pointHint} Efficiency may stay empty. Paste columns or whole tables with Ctrl+V.`}
    />
  );
}

/** All speed lines in one table; the speed stands beside the first point of its line. */
function AllLines({ draft, findings, desk, actions, edit }: TableProps) {
  const { goTo } = desk;
  const { columns, keys } = useColumns(draft, allColumns);
  const { rows, places } = useMemo(() => toAllRows(draft), [draft]);
  const rowOf = useCallback(
    (line: number, point: number | undefined) => {
      const at = places.findIndex((p) => p.line === line && p.point === (point ?? 0));
      return at < 0 ? null : at;
    },
    [places],
  );
  const marks = useMemo(
    () => cellMarks(findings, keys, (place) => (place.part === 'speed-line' ? rowOf(place.line, place.point) : null)),
    [findings, keys, rowOf],
  );
  const target = useMemo(() => {
    if (goTo === null || goTo.place.part !== 'speed-line') return null;
    const row = rowOf(goTo.place.line, goTo.place.point);
    const key = keyOf(goTo) ?? (goTo.place.point === undefined ? 'speed' : 'flow');
    return row === null ? null : { row, key };
  }, [goTo, rowOf]);
  const arrived = useCallback(() => actions.set({ goTo: null }), [actions]);
  return (
    <PointGrid
      label={`Points of all ${viewOf(draft).line}s`}
      columns={columns}
      form={viewOf(draft).paste}
      flowFactor={(unit) => pastedFlowFactor(draft, unit)}
      rows={rows}
      onRows={(next, key) => edit((d) => fromAllRows(d, next), 'edit points', `all.${key}`)}
      marks={marks}
      goTo={target}
      onArrived={arrived}
      onRow={(row) => {
        const place = row === null ? undefined : places[row];
        actions.set({ row: place === undefined ? null : { part: 'speed-line', ...place } });
      }}
      hint="A speed begins a line; rows without one belong to the line above."
    />
  );
}

/** One row of the table of all lines. The speed stands beside the first point of its line; a blank speed is that of the row above. */
interface AllRow extends DraftCell3 {
  speed: string;
}

/** Where a row of that table stands in the lines. */
interface RowPlace {
  line: number;
  point: number;
}

export function toAllRows(draft: MapDraft): { rows: AllRow[]; places: RowPlace[] } {
  const rows: AllRow[] = [];
  const places: RowPlace[] = [];
  draft.speedLines.forEach((line, i) => {
    const points = line.points.length > 0 ? line.points : [emptyPoint];
    points.forEach((p, k) => {
      rows.push({ speed: k === 0 ? line.speed : '', ...p });
      places.push({ line: i, point: k });
    });
  });
  return { rows, places };
}

/**
 * The table of all lines back to lines, given the rows it was made of: a row with a speed begins a line, a row without one belongs to
 * the line above. A line whose speed is not typed yet stays a line of its own while its first row is the same.
 */
export function fromAllRows(draft: MapDraft, rows: readonly AllRow[]): MapDraft {
  const before = toAllRows(draft);
  const startsUnnamed = new Set<AllRow | number>();
  before.rows.forEach((row, i) => {
    const place = before.places[i]!;
    if (place.point === 0 && row.speed === '' && place.line > 0 && rows[i]?.speed === '') startsUnnamed.add(i);
  });
  const sameCount = rows.length === before.rows.length;
  const lines: { speed: string; points: DraftCell3[] }[] = [];
  rows.forEach(({ speed, flow, pressureRatio, efficiency }, i) => {
    const current = lines.at(-1);
    const unnamed = sameCount && startsUnnamed.has(i);
    if (current === undefined || speed.trim() !== '' || unnamed)
      lines.push({ speed, points: [{ flow, pressureRatio, efficiency }] });
    else current.points.push({ flow, pressureRatio, efficiency });
  });
  const speedLines: readonly DraftLine[] = lines.length > 0 ? lines : [{ speed: '', points: [emptyPoint] }];
  return { ...draft, speedLines };
}

interface PickItem {
  name: string;
  /** Small, at the end: how many points, open or closed. */
  note: string;
  /** The worst finding about it, shown instead of the note. */
  worst: AuditFinding | undefined;
}

interface PickListProps {
  label: string;
  items: readonly PickItem[];
  chosen: number;
  onChoose: (index: number) => void;
  /** The item under the pointer; null when it has left. */
  onRest?: ((index: number | null) => void) | undefined;
}

/** Speed lines or islands by their value; one is chosen and its points are beside it. */
export function PickList({ label, items, chosen, onChoose, onRest }: PickListProps) {
  return (
    <ul aria-label={label}>
      {items.map(({ name, note, worst }, i) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: an item is known by its place; its value is being typed
        <li key={i}>
          <button
            type="button"
            className={styles.lineButton}
            aria-current={i === chosen}
            onClick={() => onChoose(i)}
            onMouseEnter={() => onRest?.(i)}
            onMouseLeave={() => onRest?.(null)}
          >
            <span className="clip">{name}</span>
            {worst ? (
              <span className={styles[worst.severity]} title={worst.message}>
                <Icon name={worst.severity === 'error' ? 'stop' : 'caution'} />
                <span className={styles.hidden}>{worst.severity}</span>
              </span>
            ) : (
              <span className="ui-faint small ui-plain">{note}</span>
            )}
          </button>
        </li>
      ))}
    </ul>
  );
}
