import { useCallback, useMemo } from 'react';
import { isTurbineSheet } from '../../../build/index.ts';
import { cellMarks, keyOf } from '../model/cellMarks.ts';
import { setLinePoints } from '../model/editDraft.ts';
import { speedUnitLabel } from '../model/sheetWords.ts';
import { pastedFlowFactor } from '../model/takePaste.ts';
import { PointGrid } from './PointGrid.tsx';
import { lineColumns } from './pointColumns.ts';
import type { TableProps } from './tableProps.ts';
import { useColumns } from './useColumns.ts';

/** The points of the chosen speed line. */
export function LinePoints({ draft, findings, desk, actions, edit }: TableProps) {
  const { line, goTo } = desk;
  const { columns, keys } = useColumns(draft, lineColumns);
  const chosen = draft.speedLines[line];
  const marks = useMemo(
    () =>
      cellMarks(findings, keys, (place) =>
        place.part === 'speed-line' && place.line === line ? (place.point ?? null) : null,
      ),
    [findings, keys, line],
  );
  const target = useMemo(() => {
    if (goTo === null || goTo.place.part !== 'speed-line' || goTo.place.line !== line) return null;
    if (goTo.place.point === undefined) return null;
    const key = keyOf(goTo);
    return { row: goTo.place.point, key: key === null || key === 'speed' ? keys[0]! : key };
  }, [goTo, keys, line]);
  const arrived = useCallback(() => actions.set({ goTo: null }), [actions]);
  if (chosen === undefined) return null;
  const isTurbine = isTurbineSheet(draft);
  const name =
    chosen.speed.trim() === '' ? 'the line without a speed' : `the ${chosen.speed} ${speedUnitLabel(draft)} line`;
  return (
    <PointGrid
      // Another line is another table: what was being typed or selected does not move over.
      key={line}
      label={`Points of ${name}, ${isTurbine ? 'in any order' : 'from surge to choke'}`}
      columns={columns}
      isTurbine={isTurbineSheet(draft)}
      flowFactor={(unit) => pastedFlowFactor(draft, unit)}
      rows={chosen.points}
      onRows={(rows, key) => edit((d) => setLinePoints(d, line, rows), 'edit points', `line.${line}.${key}`)}
      marks={marks}
      goTo={target}
      onArrived={arrived}
      onRow={(row) => actions.set({ row: row === null ? null : { part: 'speed-line', line, point: row } })}
      hint={`${isTurbine ? 'Expansion ratio p3/p4, total to static, in any order.' : 'From surge to choke.'} Efficiency may stay empty. Paste columns or whole tables with Ctrl+V.`}
    />
  );
}
