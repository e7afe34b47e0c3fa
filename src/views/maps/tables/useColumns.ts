import { useMemo } from 'react';
import type { MapDraft } from '../../../build/index.ts';
import type { PointColumn } from './PointGrid.tsx';

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
