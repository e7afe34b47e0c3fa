import { useMemo } from 'react';
import { type ResultUnits, resultUnits } from '../../match/index.ts';
import { useSettings } from '../../store/index.ts';

/** The units in which results are shown; the same object while the choice is the same. */
export function useResultUnits(): ResultUnits {
  const { system, resultUnits: chosen, several } = useSettings();
  return useMemo(() => resultUnits({ system, resultUnits: chosen, several }), [system, chosen, several]);
}
