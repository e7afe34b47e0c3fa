import { useCallback, useMemo } from 'react';
import { cellMarks, keyOf } from '../model/cellMarks.ts';
import { setLinePoints } from '../model/editDraft.ts';
import { pastedFlowFactor } from '../model/takePaste.ts';
import { PointGrid } from './PointGrid.tsx';
import { lineColumns } from './pointColumns.ts';
import type { TableProps } from './tableProps.ts';

const KEYS = ['flow', 'pressureRatio', 'efficiency'];

/** The points of the chosen speed line. */
export function LinePoints({ draft, findings, desk, actions, edit }: TableProps) {
  const { line, goTo } = desk;
  const { flowUnit, efficiencyUnit } = draft;
  const columns = useMemo(() => lineColumns({ flowUnit, efficiencyUnit }), [flowUnit, efficiencyUnit]);
  const chosen = draft.speedLines[line];
  const marks = useMemo(
    () =>
      cellMarks(findings, KEYS, (place) =>
        place.part === 'speed-line' && place.line === line ? (place.point ?? null) : null,
      ),
    [findings, line],
  );
  const target = useMemo(() => {
    if (goTo === null || goTo.place.part !== 'speed-line' || goTo.place.line !== line) return null;
    if (goTo.place.point === undefined) return null;
    const key = keyOf(goTo);
    return { row: goTo.place.point, key: key === null || key === 'speed' ? ('flow' as const) : key };
  }, [goTo, line]);
  const arrived = useCallback(() => actions.set({ goTo: null }), [actions]);
  if (chosen === undefined) return null;
  const name = chosen.speed.trim() === '' ? 'the line without a speed' : `the ${chosen.speed} rpm line`;
  return (
    <PointGrid
      // Another line is another table: what was being typed or selected does not move over.
      key={line}
      label={`Points of ${name}, from surge to choke`}
      columns={columns}
      flowFactor={(unit) => pastedFlowFactor(draft, unit)}
      rows={chosen.points}
      onRows={(rows, key) => edit((d) => setLinePoints(d, line, rows), 'edit points', `line.${line}.${key}`)}
      marks={marks}
      goTo={target}
      onArrived={arrived}
      onRow={(row) => actions.set({ row: row === null ? null : { part: 'speed-line', line, point: row } })}
      hint="From surge to choke. Efficiency may stay empty. Paste columns or whole tables with Ctrl+V."
    />
  );
}
