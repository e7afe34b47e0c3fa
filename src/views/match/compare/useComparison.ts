import { useEffect, useMemo, useState } from 'react';
import {
  type ComparisonResults,
  selectActiveBuild,
  selectComparison,
  useBuildField,
  useLugline,
} from '../../../store/index.ts';
import type { CompareUnits } from '../../shared/differenceRows.ts';
import { useResultUnits } from '../../shared/useResultUnits.ts';

/** Ceilings take longer than a frame: they wait until the inputs have rested this long. */
const REST_MS = 350;

/** The comparison of two candidates; with the ceilings of the day once the inputs rest. */
export function useComparison([first, second]: readonly [number, number]): ComparisonResults | null {
  const build = useLugline(selectActiveBuild);
  const [rested, setRested] = useState<unknown>(null);
  useEffect(() => {
    const timer = setTimeout(() => setRested(build), REST_MS);
    return () => clearTimeout(timer);
  }, [build]);
  const withCeilings = rested === build;
  return useLugline((state) => selectComparison(state, first, second, withCeilings));
}

/** The units of the comparison; the same object while the choice is the same. */
export function useCompareUnits(): CompareUnits {
  const results = useResultUnits();
  const altitude = useBuildField('air.altitude').unit;
  return useMemo(() => ({ results, altitude }), [results, altitude]);
}
