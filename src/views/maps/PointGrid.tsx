import { type FocusEvent, type MouseEvent, useEffect, useMemo, useRef } from 'react';
import type { MapDraft } from '../../build/index.ts';
import type { AuditFinding, SheetPlace } from '../../compressor/index.ts';
import { CellGrid, type CellGridHandle, type CellMark } from '../../widgets/index.ts';
import type { ColumnRole, PastedFlowUnit, PasteForm } from './paste/columns.ts';
import { alignPasted } from './paste/takePaste.ts';
import { sheetViews, viewOf } from './sheetKinds/kinds.ts';
import { flowUnitLabel, speedUnitLabel } from './sheetKinds/sheetKind.ts';

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

interface PointGridProps<K extends string> {
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
  /** How pasted columns are recognised; left out: as those of a compressor map. */
  form?: PasteForm | undefined;
  /** What turns a pasted flow in another unit into one of this table; null where that cannot be told. */
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
      props.form ?? sheetViews.compressor.paste,
      props.flowFactor,
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

/** Columns that stay the same object while what their headings depend on does. */
export function useColumns<K extends string>(
  draft: MapDraft,
  columnsOf: (
    headed: Pick<MapDraft, 'kind' | 'flowUnit' | 'flowParameter' | 'efficiencyUnit'>,
  ) => readonly PointColumn<K>[],
): { columns: readonly PointColumn<K>[]; keys: readonly K[] } {
  const { kind, flowUnit, flowParameter, efficiencyUnit } = draft;
  return useMemo(() => {
    const columns = columnsOf({ kind, flowUnit, flowParameter, efficiencyUnit });
    return { columns, keys: columns.map(({ key }) => key) };
  }, [columnsOf, kind, flowUnit, flowParameter, efficiencyUnit]);
}

type Headed = Pick<MapDraft, 'kind' | 'flowUnit' | 'flowParameter'>;

/** Flow and the ratio: the surge line and islands. A turbine sheet has the ratio first, as it is drawn: flow over expansion ratio. */
export function pairColumns(draft: Headed): readonly PointColumn<'flow' | 'pressureRatio'>[] {
  const flow = { key: 'flow', header: 'Flow', unit: flowUnitLabel(draft), role: 'flow', ...flowWidth(draft) } as const;
  const ratio = { key: 'pressureRatio', header: viewOf(draft).ratio, role: 'ratio' } as const;
  return viewOf(draft).isRatioFirst ? [ratio, flow] : [flow, ratio];
}

/** The unit of a flow parameter is long, and must not be cut off in the heading. */
function flowWidth({ flowParameter }: Pick<MapDraft, 'flowParameter'>): { width?: string } {
  return flowParameter === undefined ? {} : { width: '9.2rem' };
}

/** With efficiency: the points of a line. */
export function lineColumns(
  draft: Headed & Pick<MapDraft, 'efficiencyUnit'>,
): readonly PointColumn<'flow' | 'pressureRatio' | 'efficiency'>[] {
  const unit = draft.efficiencyUnit === '%' ? '%' : undefined;
  return [...pairColumns(draft), { key: 'efficiency', header: 'Efficiency', unit, role: 'efficiency' }];
}

/** All lines in one table. */
export function allColumns(
  draft: Headed & Pick<MapDraft, 'efficiencyUnit'>,
): readonly PointColumn<'speed' | 'flow' | 'pressureRatio' | 'efficiency'>[] {
  return [{ key: 'speed', header: 'Speed', unit: speedUnitLabel(draft), role: 'speed' }, ...lineColumns(draft)];
}

/** Columns of a table of points, from the left. */
type PointKey = 'flow' | 'pressureRatio' | 'efficiency';

/** The column that a finding is about, as it says or by its code; null: the whole row. */
export function keyOf({ code, column }: Pick<AuditFinding, 'code' | 'column'>): PointKey | 'speed' | null {
  if (column !== undefined) return column;
  if (code.startsWith('efficiency')) return 'efficiency';
  if (code.startsWith('flow')) return 'flow';
  if (code.startsWith('ratio')) return 'pressureRatio';
  return code.startsWith('speed') ? 'speed' : null;
}

/** Marks on the cells of a table for the findings whose place lies in it. Notes mark nothing. */
export function cellMarks(
  findings: readonly AuditFinding[],
  keys: readonly string[],
  rowOf: (place: SheetPlace) => number | null,
): CellMark[] {
  return findings.flatMap((finding): CellMark[] => {
    if (finding.severity === 'note' || finding.place === undefined) return [];
    const row = rowOf(finding.place);
    if (row === null) return [];
    const column = keys.indexOf(keyOf(finding) ?? '');
    return [{ row, column: column < 0 ? null : column, severity: finding.severity, message: finding.message }];
  });
}

/** Tables of texts under named columns: how grids change them. A change that changes nothing gives the same rows back. */

function toCells<K extends string>(rows: readonly Readonly<Record<K, string>>[], keys: readonly K[]): string[][] {
  return rows.map((row) => keys.map((key) => row[key]));
}

/** A block of texts put at a cell; rows are added where there are too few. */
function putCells<K extends string>(
  rows: readonly Readonly<Record<K, string>>[],
  keys: readonly K[],
  at: { row: number; column: number },
  matrix: readonly (readonly string[])[],
): readonly Readonly<Record<K, string>>[] {
  const next = [...rows];
  let changed = false;
  matrix.forEach((cells, i) => {
    while (next.length <= at.row + i) next.push(emptyRow(keys));
    const old = next[at.row + i]!;
    const row: Record<K, string> = { ...old };
    cells.forEach((text, k) => {
      const key = keys[at.column + k];
      if (key !== undefined) row[key] = text.trim() === text ? text : text.trim();
    });
    if (keys.every((key) => row[key] === old[key])) return;
    next[at.row + i] = row;
    changed = true;
  });
  return changed || next.length > rows.length ? next : rows;
}

function emptyRow<K extends string>(keys: readonly K[]): Readonly<Record<K, string>> {
  return Object.fromEntries(keys.map((key) => [key, ''])) as Record<K, string>;
}
