import type { DraftLine, MapDraft } from '../../../build/index.ts';
import { kgPerSToSheetFlow, parseNumber, parseQuantity, plainNumber } from '../../../units/index.ts';
import { parameterPerKgPerS, setEfficiencyUnit } from '../editDraft.ts';
import { viewOf } from '../sheetKinds/kinds.ts';
import { setSheetFlow } from '../sheetKinds/sheetKind.ts';
import {
  type ColumnRole,
  type PastedFlowUnit,
  type PasteForm,
  pastedFlowUnits,
  recogniseColumns,
  type SheetFlow,
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

type Reference = { temperatureK: number; pressurePa: number };

function flowFactor(draft: MapDraft, from: SheetFlow, to: SheetFlow): number | string {
  if (from === to) return 1;
  const reference = referenceOf(draft);
  if (familyOf(from) !== familyOf(to) && reference === null) {
    const label = (flow: SheetFlow) => pastedFlowUnits[flow].label;
    return `The table has its flow in ${label(from)}, the ${viewOf(draft).paste.called} in ${label(to)}: to bring one to the other the reference state is needed. Enter it first.`;
  }
  const state = reference ?? { temperatureK: 298.15, pressurePa: 100000 };
  return perKgPerS(to, state) / perKgPerS(from, state);
}

/** Units of one family are brought to one another without a reference state. */
function familyOf(flow: SheetFlow): 'mass' | 'volume' | 'parameter' {
  if (flow === 'kg/s' || flow === 'lb/min') return 'mass';
  return flow === 'm3/s' || flow === 'cfm' ? 'volume' : 'parameter';
}

function perKgPerS(flow: SheetFlow, state: Reference): number {
  if (flow === 'kPa' || flow === 'bar' || flow === 'MPa') return parameterPerKgPerS(flow, state);
  return kgPerSToSheetFlow(1, flow, state);
}

function referenceOf({ reference: { temperature, pressure } }: MapDraft): Reference | null {
  const t = parseQuantity(temperature.text, 'temperature', temperature.unit);
  const p = parseQuantity(pressure.text, 'pressure-absolute', pressure.unit);
  return t.ok && p.ok && t.si > 0 && p.si > 0 ? { temperatureK: t.si, pressurePa: p.si } : null;
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
