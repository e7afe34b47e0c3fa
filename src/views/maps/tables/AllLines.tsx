import { useCallback, useMemo } from 'react';
import { isTurbineSheet } from '../../../build/index.ts';
import { fromAllRows, toAllRows } from '../model/allRows.ts';
import { cellMarks, keyOf } from '../model/cellMarks.ts';
import { sheetWords } from '../model/sheetWords.ts';
import { pastedFlowFactor } from '../model/takePaste.ts';
import { PointGrid } from './PointGrid.tsx';
import { allColumns } from './pointColumns.ts';
import type { TableProps } from './tableProps.ts';
import { useColumns } from './useColumns.ts';

/** All speed lines in one table; the speed stands beside the first point of its line. */
export function AllLines({ draft, findings, desk, actions, edit }: TableProps) {
  const { goTo } = desk;
  const { columns, keys } = useColumns(draft, allColumns);
  const { rows, places } = useMemo(() => toAllRows(draft), [draft]);
  const rowOf = useCallback(
    (line: number, point: number | undefined) => {
      const at = places.findIndex((p) => p.line === line && p.point === (point ?? 0));
      return at < 0 ? null : at;
    },
    [places],
  );
  const marks = useMemo(
    () => cellMarks(findings, keys, (place) => (place.part === 'speed-line' ? rowOf(place.line, place.point) : null)),
    [findings, keys, rowOf],
  );
  const target = useMemo(() => {
    if (goTo === null || goTo.place.part !== 'speed-line') return null;
    const row = rowOf(goTo.place.line, goTo.place.point);
    const key = keyOf(goTo) ?? (goTo.place.point === undefined ? 'speed' : 'flow');
    return row === null ? null : { row, key };
  }, [goTo, rowOf]);
  const arrived = useCallback(() => actions.set({ goTo: null }), [actions]);
  return (
    <PointGrid
      label={`Points of all ${sheetWords(draft).line}s`}
      columns={columns}
      isTurbine={isTurbineSheet(draft)}
      flowFactor={(unit) => pastedFlowFactor(draft, unit)}
      rows={rows}
      onRows={(next, key) => edit((d) => fromAllRows(d, next), 'edit points', `all.${key}`)}
      marks={marks}
      goTo={target}
      onArrived={arrived}
      onRow={(row) => {
        const place = row === null ? undefined : places[row];
        actions.set({ row: place === undefined ? null : { part: 'speed-line', ...place } });
      }}
      hint="A speed begins a line; rows without one belong to the line above."
    />
  );
}
