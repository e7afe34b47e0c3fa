import type { DraftLine, MapDraft, SheetKindKey } from '../../../build/index.ts';
import type { ReferenceState } from '../../../compressor/index.ts';
import { isClosedContour } from '../../../reading/index.ts';
import { isVolumeFlow, kgPerSToSheetFlow, parseNumber, pasteTooLong, plainNumber } from '../../../units/index.ts';
import { parameterPerKgPerS, readReference, STAND_IN, setEfficiencyUnit } from '../editDraft.ts';
import { compressorPaste } from '../sheetKinds/compressor.tsx';
import { viewOf } from '../sheetKinds/kinds.ts';
import { isParameter, setSheetFlow } from '../sheetKinds/sheetKind.ts';
import { turbinePaste } from '../sheetKinds/turbine.tsx';
import { bareCell, type Cells, cellNumber, splitTable } from './cells.ts';
import {
  type ColumnRole,
  loneEfficiency,
  type PastedFlowUnit,
  type PasteForm,
  pastedFlowUnits,
  recogniseColumns,
  type SheetFlow,
  underHeads,
  unfoldBlocks,
} from './columns.ts';
import type { MapTable } from './readMapTable.ts';

export type PasteMode = 'replace' | 'add';

/** Whether the map holds flows that a pasted table has to agree with in unit. */
function keepsFlows(draft: MapDraft, mode: PasteMode): boolean {
  const typed = (points: readonly { flow: string }[]): boolean => points.some((p) => p.flow.trim() !== '');
  return (
    typed(draft.surgeLine) ||
    draft.islands.some((island) => typed(island.points)) ||
    (mode === 'add' && draft.speedLines.some((line) => typed(line.points)))
  );
}

function hasEfficiencies(draft: MapDraft, mode: PasteMode): boolean {
  const inLines = draft.speedLines.some((line) => line.points.some((p) => p.efficiency.trim() !== ''));
  return draft.islands.some((island) => island.efficiency.trim() !== '') || (mode === 'add' && inLines);
}

/**
 * The map with a pasted table taken over. An otherwise empty map takes the table's units; one that keeps other numbers has the
 * pasted ones brought to its own.
 * @returns why it cannot be done instead, in plain words: mass and volume flow cannot be told into each other without a reference state.
 */
export function takePaste(draft: MapDraft, table: MapTable, mode: PasteMode): MapDraft | string {
  const target = keepsFlows(draft, mode) ? sheetFlow(draft) : table.sheetFlowUnit;
  const factor = flowFactor(draft, table.sheetFlowUnit, target);
  if (typeof factor === 'string') return factor;
  const pasted: DraftLine[] = table.lines.map((line) => ({
    speed: line.speed,
    points: line.points.map((p) => (factor === 1 ? p : { ...p, flow: scaled(p.flow, factor) })),
  }));
  const kept = mode === 'add' ? draft.speedLines.filter((line) => !isBlank(line)) : [];
  const unit = table.hasEfficiency ? table.efficiencyUnit : draft.efficiencyUnit;
  if (!hasEfficiencies(draft, mode)) {
    return setSheetFlow({ ...draft, efficiencyUnit: unit, speedLines: [...kept, ...pasted] }, target);
  }
  const own = setEfficiencyUnit(
    { ...draft, efficiencyUnit: unit, islands: [], speedLines: pasted },
    draft.efficiencyUnit,
  );
  return setSheetFlow({ ...draft, speedLines: [...kept, ...own.speedLines] }, target);
}

function sheetFlow({ flowParameter, flowUnit }: MapDraft): SheetFlow {
  return flowParameter ?? flowUnit;
}

function isBlank(line: DraftLine): boolean {
  return (
    line.speed.trim() === '' &&
    line.points.every((p) => p.flow.trim() + p.pressureRatio.trim() + p.efficiency.trim() === '')
  );
}

function scaled(text: string, factor: number): string {
  const parsed = parseNumber(text);
  return parsed.ok ? plainNumber(parsed.value * factor, 8) : text;
}

/** What turns a pasted flow into one in the map's unit; null where the reference state is needed and missing. */
export function pastedFlowFactor(draft: MapDraft, unit: PastedFlowUnit): number | null {
  const { sheet, factor } = pastedFlowUnits[unit];
  const toMap = flowFactor(draft, sheet, sheetFlow(draft));
  return typeof toMap === 'string' ? null : factor * toMap;
}

function flowFactor(draft: MapDraft, from: SheetFlow, to: SheetFlow): number | string {
  if (from === to) return 1;
  const reference = readReference(draft);
  if (familyOf(from) !== familyOf(to) && reference === null) {
    const label = (flow: SheetFlow) => pastedFlowUnits[flow].label;
    return `The table has its flow in ${label(from)}, the ${viewOf(draft).paste.called} in ${label(to)}: to bring one to the other the reference state is needed. Enter it first.`;
  }
  const state = reference ?? STAND_IN;
  return perKgPerS(to, state) / perKgPerS(from, state);
}

/** Units of one family are brought to one another without a reference state. */
function familyOf(flow: SheetFlow): 'mass' | 'volume' | 'parameter' {
  if (isParameter(flow)) return 'parameter';
  return isVolumeFlow(flow) ? 'volume' : 'mass';
}

function perKgPerS(flow: SheetFlow, state: ReferenceState): number {
  return isParameter(flow) ? parameterPerKgPerS(flow, state) : kgPerSToSheetFlow(1, flow, state);
}

/**
 * A block pasted into a table of points: a heading is left out, and where it names the columns they are put in the table's own order.
 * A flow unit that it names is brought to the table's.
 * @param roles of the table's columns, from the left.
 * @param factorFrom what turns a flow in a unit into one in the table's; null where that cannot be told (no reference state): the
 *   numbers then stay as they are.
 * @param form of the kind of sheets that the table is of.
 * @returns the block and the column at which it goes; null for a block without heading, to be taken as it stands.
 */
export function alignPasted(
  matrix: readonly (readonly string[])[],
  roles: readonly ColumnRole[],
  form: PasteForm,
  factorFrom: (unit: PastedFlowUnit) => number | null = () => null,
): string[][] | null {
  const columns = recogniseColumns(matrix, form);
  if (!columns.hasHeader) return null;
  const from = roles.map((role) => columns.roles.indexOf(role));
  if (from.every((at) => at < 0)) return null;
  const factor = columns.flowUnit === null ? 1 : (factorFrom(columns.flowUnit) ?? 1);
  const flowAt = columns.roles.indexOf('flow');
  const cell = (row: readonly string[], at: number): string => {
    const text = row[at] ?? '';
    return at === flowAt && factor !== 1 ? scaled(text, factor) : text;
  };
  return matrix.slice(columns.firstRow).map((row) => from.map((at) => (at < 0 ? '' : cell(row, at))));
}

type Island = MapDraft['islands'][number];

/**
 * All islands of one pasted table of efficiency, flow and pressure ratio, in this order or as its headings say, or of blocks of flow and
 * pressure ratio under their efficiencies. A new value begins a new island; an empty one means that of the row above. Whether an island closes follows from its ends.
 * @returns the islands with texts in the units of the map; null where the table has no third column of numbers, or a row of it cannot be read
 */
export function pastedIslands(draft: MapDraft, cells: Cells): Island[] | null {
  const rows =
    underHeads(cells, loneEfficiency, 'efficiency') ?? cells.filter((row) => row.some((cell) => cell !== ''));
  const { roles, hasHeader, firstRow, flowUnit } = recogniseColumns(rows, compressorPaste);
  const at = (role: (typeof roles)[number], usual: number) => (hasHeader ? roles.indexOf(role) : usual);
  const [value, flow, ratio] = [at('efficiency', 0), at('flow', 1), at('ratio', 2)];
  const body = rows.slice(firstRow);
  const full = body.filter((row) => cellNumber(row[flow]) !== null && cellNumber(row[ratio]) !== null);
  const values = body.flatMap((row) => cellNumber(row[value]) ?? []);
  if (value < 0 || full.length < 2 || values.length === 0) return null;
  const factor = flowUnit === null ? 1 : (pastedFlowFactor(draft, flowUnit) ?? 1);
  const inPercent = Math.max(...values) > 1.5;
  const scale = inPercent === (draft.efficiencyUnit === '%') ? 1 : inPercent ? 0.01 : 100;
  const islands: { value: number; efficiency: string; points: { flow: string; pressureRatio: string }[] }[] = [];
  let read: number | null = null;
  for (const row of body) {
    read = cellNumber(row[value]) ?? read;
    const [w, pr] = [cellNumber(row[flow]), cellNumber(row[ratio])];
    if (read === null || w === null || pr === null) continue;
    if (islands.at(-1)?.value !== read) {
      const text = bareCell(row[value]);
      islands.push({ value: read, efficiency: scale === 1 ? text : plainNumber(read * scale, 8), points: [] });
    }
    const point = {
      flow: factor === 1 ? (row[flow] ?? '') : plainNumber(w * factor, 8),
      pressureRatio: bareCell(row[ratio]),
    };
    islands.at(-1)?.points.push(point);
  }
  // Nothing is dropped in silence: a table with such a row is not taken as one of islands.
  if (islands.reduce((sum, { points }) => sum + points.length, 0) < body.length) return null;
  const places = (points: Island['points']) =>
    points.map((p) => ({ flow: cellNumber(p.flow) ?? 0, pressureRatio: cellNumber(p.pressureRatio) ?? 0 }));
  const all = islands.flatMap(({ points }) => places(points));
  const size = {
    flow: Math.max(...all.map((p) => p.flow)),
    pressureRatio: Math.max(...all.map((p) => p.pressureRatio)),
  };
  return islands.map(({ efficiency, points }) => ({
    efficiency,
    closed: isClosedContour(places(points), size),
    points,
  }));
}

/** What only logs have a column of. */
const OF_LOGS =
  /\btime|zeit|\bsec\b|\bafr\b|fuel|lambda|throttle|\btps\b|pedal|manifold|\bmap\b|boost|\biat\b|temp|gear|\blap\b/i;
const OF_TURBINES = /expansion|entspannung|\ber\b|p ?0?[t ]?3[t ]?0? ?\/ ?p ?s?4|√|sqrt|swallow/i;

/**
 * The kind of sheet that a text file holds the table of: known by the headings of its columns, or by its lines under their speeds. A road
 * log is none, even where its columns have such names.
 * @returns null where it is no such table
 */
export function sheetKindOfTable(text: string): SheetKindKey | null {
  if (pasteTooLong(text) !== null) return null;
  const cells = splitTable(text);
  if (cells.length < 3) return null;
  const words = cells.slice(0, 4).flat().join(' \t ');
  if (OF_LOGS.test(words)) return null;
  const unfolded = unfoldBlocks(cells);
  const rows = unfolded ?? cells.filter((row) => row.length > 0);
  const has = (form: PasteForm, needsSpeed: boolean) => {
    const { roles, hasHeader } = recogniseColumns(rows, form);
    const hasSpeed = roles.includes('speed') || roles.includes('percent');
    return (
      (hasHeader || unfolded !== null) && roles.includes('flow') && roles.includes('ratio') && (hasSpeed || !needsSpeed)
    );
  };
  if (OF_TURBINES.test(words)) return has(turbinePaste, false) ? 'turbine' : null;
  return has(compressorPaste, true) ? 'compressor' : null;
}
