import { useMemo } from 'react';
import { useLugline } from '../../store/index.ts';
import { type ResultUnits, resultUnits } from './resultUnits.ts';

/** The units in which results are shown; the same object while the choice is the same. */
export function useResultUnits(): ResultUnits {
  const chosen = useLugline((state) => state.workspace.settings.resultUnits);
  return useMemo(() => resultUnits({ resultUnits: chosen }), [chosen]);
}
