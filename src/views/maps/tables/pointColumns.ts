import { isTurbineSheet, type MapDraft } from '../../../build/index.ts';
import { flowUnitLabel, sheetWords, speedUnitLabel } from '../model/sheetWords.ts';
import type { PointColumn } from './PointGrid.tsx';

type Headed = Pick<MapDraft, 'kind' | 'flowUnit' | 'flowParameter'>;

/** Flow and the ratio: the surge line and islands. A turbine sheet has the ratio first, as it is drawn: flow over expansion ratio. */
export function pairColumns(draft: Headed): readonly PointColumn<'flow' | 'pressureRatio'>[] {
  const flow = { key: 'flow', header: 'Flow', unit: flowUnitLabel(draft), role: 'flow', ...flowWidth(draft) } as const;
  const ratio = { key: 'pressureRatio', header: sheetWords(draft).ratio, role: 'ratio' } as const;
  return isTurbineSheet(draft) ? [ratio, flow] : [flow, ratio];
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
