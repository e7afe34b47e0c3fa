import { type DraftLine, draftToSheet, type MapDraft } from '../../../build/index.ts';
import { kgPerSToSheetFlow, parseNumber, plainNumber, sheetFlowToKgPerS } from '../../../units/index.ts';
import { type PastedFlowUnit, pastedFlowUnits } from '../paste/columns.ts';
import type { MapTable } from '../paste/readMapTable.ts';
import { setEfficiencyUnit } from './editDraft.ts';

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
  const target = keepsFlows(draft, mode) ? draft.flowUnit : table.sheetFlowUnit;
  const factor = flowFactor(draft, table.sheetFlowUnit, target);
  if (typeof factor === 'string') return factor;
  const pasted: DraftLine[] = table.lines.map((line) => ({
    speed: line.speed,
    points: line.points.map((p) => (factor === 1 ? p : { ...p, flow: scaled(p.flow, factor) })),
  }));
  const kept = mode === 'add' ? draft.speedLines.filter((line) => !isBlank(line)) : [];
  const unit = table.hasEfficiency ? table.efficiencyUnit : draft.efficiencyUnit;
  if (!hasEfficiencies(draft, mode)) {
    return { ...draft, flowUnit: target, efficiencyUnit: unit, speedLines: [...kept, ...pasted] };
  }
  const own = setEfficiencyUnit(
    { ...draft, efficiencyUnit: unit, islands: [], speedLines: pasted },
    draft.efficiencyUnit,
  );
  return { ...draft, flowUnit: target, speedLines: [...kept, ...own.speedLines] };
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
  const toMap = flowFactor(draft, sheet, draft.flowUnit);
  return typeof toMap === 'string' ? null : factor * toMap;
}

function flowFactor(draft: MapDraft, from: MapDraft['flowUnit'], to: MapDraft['flowUnit']): number | string {
  if (from === to) return 1;
  const isVolume = (unit: MapDraft['flowUnit']): boolean => unit === 'm3/s' || unit === 'cfm';
  const reading = draftToSheet(draft);
  const reference = reading.ok ? reading.sheet.reference : null;
  if (isVolume(from) !== isVolume(to) && reference === null) {
    return `The table has its flow in ${from}, the map in ${to}: to bring one to the other the reference state is needed. Enter it first.`;
  }
  const state = reference ?? { temperatureK: 298.15, pressurePa: 100000 };
  return kgPerSToSheetFlow(sheetFlowToKgPerS(1, from, state), to, state);
}
