import { memo, useMemo } from 'react';
import type { Comparison } from '../../../match/index.ts';
import { type CompareUnits, differenceRows } from '../../shared/differenceRows.ts';
import type { FindingWords } from '../../shared/findingWords.ts';
import styles from './compare.module.css';
import { DifferenceTable } from './DifferenceTable.tsx';
import { summaryWords } from './model/summaryWords.ts';
import { Summary } from './Summary.tsx';
import { useCompareUnits, useComparison } from './useComparison.ts';

/** As many sentences of a kind can be read at a glance; the table beside them has them all. */
const MOST = 5;

interface Props {
  pair: readonly [number, number];
  names: readonly [string, string];
  /** What there is to say about the second candidate, worst first. */
  watch: readonly FindingWords[];
}

/** The differences that matter as a table, and the same in a customer's words. */
export const DifferencePanels = memo(function DifferencePanels({ pair, names, watch }: Props) {
  const results = useComparison(pair);
  const units = useCompareUnits();
  const comparison = results?.comparison ?? null;
  if (comparison === null) {
    return (
      <div className={styles.nothing}>
        <p>
          One of the two has no operating line yet, so there is nothing to compare. What is missing stands beside its
          map.
        </p>
      </div>
    );
  }
  return <Differences comparison={comparison} names={names} watch={watch} units={units} pair={pair} />;
});

function Differences({
  comparison,
  names,
  watch,
  units,
  pair,
}: Props & { comparison: Comparison; units: CompareUnits }) {
  const rows = useMemo(() => differenceRows(comparison, units), [comparison, units]);
  const summary = useMemo(() => summaryWords(comparison, names, units), [comparison, names, units]);
  const toWatch = useMemo(() => watch.filter(({ severity }) => severity === 'stop' || severity === 'caution'), [watch]);
  return (
    <div className={styles.differences}>
      <DifferenceTable rows={rows} pair={pair} />
      <Summary summary={summary} watch={toWatch} name={names[1]} most={MOST} />
    </div>
  );
}
