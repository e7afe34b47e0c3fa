import type { MapDraft } from '../../../build/index.ts';
import { sheetFlowUnits } from '../../../units/index.ts';
import type { PointColumn } from './PointGrid.tsx';

const ratio = { key: 'pressureRatio', header: 'Pressure ratio', role: 'ratio' } as const;

function flow(unit: MapDraft['flowUnit']): PointColumn<'flow'> {
  return { key: 'flow', header: 'Flow', unit: sheetFlowUnits[unit].label, role: 'flow' };
}

/** Flow and pressure ratio: the surge line and islands. */
export function pairColumns(unit: MapDraft['flowUnit']): readonly PointColumn<'flow' | 'pressureRatio'>[] {
  return [flow(unit), ratio];
}

/** With efficiency: the points of a speed line. */
export function lineColumns(
  draft: Pick<MapDraft, 'flowUnit' | 'efficiencyUnit'>,
): readonly PointColumn<'flow' | 'pressureRatio' | 'efficiency'>[] {
  const unit = draft.efficiencyUnit === '%' ? '%' : undefined;
  return [...pairColumns(draft.flowUnit), { key: 'efficiency', header: 'Efficiency', unit, role: 'efficiency' }];
}

/** All lines in one table. */
export function allColumns(
  draft: Pick<MapDraft, 'flowUnit' | 'efficiencyUnit'>,
): readonly PointColumn<'speed' | 'flow' | 'pressureRatio' | 'efficiency'>[] {
  return [{ key: 'speed', header: 'Speed', unit: 'rpm', role: 'speed' }, ...lineColumns(draft)];
}
