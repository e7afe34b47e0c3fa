import { useCallback, useMemo } from 'react';
import { Button } from '../../../widgets/index.ts';
import styles from '../maps.module.css';
import { cellMarks } from '../model/cellMarks.ts';
import { setSurgeLine, surgeLineFromLines } from '../model/editDraft.ts';
import { pastedFlowFactor } from '../model/takePaste.ts';
import { PointGrid } from './PointGrid.tsx';
import { pairColumns } from './pointColumns.ts';
import type { TableProps } from './tableProps.ts';
import { useColumns } from './useColumns.ts';

/** The surge line, from low to high pressure ratio. */
export function SurgePanel({ draft, findings, desk, actions, edit }: TableProps) {
  const { goTo } = desk;
  const { columns, keys } = useColumns(draft, pairColumns);
  const marks = useMemo(
    () => cellMarks(findings, keys, (place) => (place.part === 'surge-line' ? (place.point ?? null) : null)),
    [findings, keys],
  );
  const target = useMemo(
    () => (goTo?.place.part === 'surge-line' ? { row: goTo.place.point ?? 0, key: 'flow' as const } : null),
    [goTo],
  );
  const arrived = useCallback(() => actions.set({ goTo: null }), [actions]);
  const isEmpty = draft.surgeLine.every((p) => p.flow === '' && p.pressureRatio === '');
  return (
    <div className={styles.panel}>
      <p className={styles.lead}>
        The surge line as the sheet draws it, lowest pressure ratio first. Without it the left end of every speed line
        is taken as surge.
      </p>
      <PointGrid
        label="Points of the surge line"
        columns={columns}
        flowFactor={(unit) => pastedFlowFactor(draft, unit)}
        rows={draft.surgeLine}
        onRows={(rows, key) => edit((d) => setSurgeLine(d, rows), 'edit surge line', `surge.${key}`)}
        marks={marks}
        goTo={target}
        onArrived={arrived}
        onRow={(row) => actions.set({ row: row === null ? null : { part: 'surge-line', point: row } })}
      />
      {isEmpty && (
        <Button onPress={() => edit(surgeLineFromLines, 'surge line from the lines', 'surge.from')}>
          Take the left ends of the speed lines
        </Button>
      )}
    </div>
  );
}
