import { useCallback, useEffect, useMemo, useRef } from 'react';
import { ChoiceRow, TextLine } from '../../../widgets/index.ts';
import styles from '../maps.module.css';
import { cellMarks } from '../model/cellMarks.ts';
import { withIsland } from '../model/editDraft.ts';
import { pastedFlowFactor } from '../model/takePaste.ts';
import { PointGrid } from './PointGrid.tsx';
import { pairColumns } from './pointColumns.ts';
import type { TableProps } from './tableProps.ts';
import { useColumns } from './useColumns.ts';

const ENDS = [
  { key: 'closed', name: 'Closed' },
  { key: 'open', name: 'Open' },
] as const;

/** Efficiency of the chosen island, and whether it closes on itself. */
export function IslandHead({ draft, findings, desk, actions, edit }: TableProps) {
  const { island, goTo } = desk;
  const head = useRef<HTMLDivElement>(null);
  const isTarget = goTo?.place.part === 'island' && goTo.place.island === island && goTo.place.point === undefined;
  useEffect(() => {
    if (!isTarget) return;
    head.current?.querySelector('input')?.focus();
    actions.set({ goTo: null });
  }, [isTarget, actions]);
  const chosen = draft.islands[island];
  const said = findings.find(
    (f) =>
      f.severity !== 'note' && f.place?.part === 'island' && f.place.island === island && f.place.point === undefined,
  );
  return (
    <div ref={head} className={styles.islandHead}>
      <TextLine
        label={draft.efficiencyUnit === '%' ? 'Efficiency, %' : 'Efficiency, 0 to 1'}
        value={chosen?.efficiency ?? ''}
        onChange={(efficiency) =>
          edit(
            (d) =>
              d.islands[island]?.efficiency === efficiency
                ? d
                : withIsland(d, island, (old) => ({ ...old, efficiency })),
            'edit island',
            `island.${island}.efficiency`,
          )
        }
        error={said?.message ?? null}
      />
      <ChoiceRow
        label="Contour"
        hideLabel
        value={chosen?.closed === false ? 'open' : 'closed'}
        options={ENDS}
        onChange={(end) =>
          edit(
            (d) => withIsland(d, island, (old) => ({ ...old, closed: end === 'closed' })),
            'open or close island',
            'closed',
          )
        }
      />
    </div>
  );
}

/** The points of the chosen island, along the contour. */
export function IslandPoints({ draft, findings, desk, actions, edit }: TableProps) {
  const { island, goTo } = desk;
  const { columns, keys } = useColumns(draft, pairColumns);
  const marks = useMemo(
    () =>
      cellMarks(findings, keys, (place) =>
        place.part === 'island' && place.island === island ? (place.point ?? null) : null,
      ),
    [findings, island, keys],
  );
  const point = goTo?.place.part === 'island' && goTo.place.island === island ? goTo.place.point : undefined;
  const target = useMemo(() => (point === undefined ? null : { row: point, key: 'flow' as const }), [point]);
  const arrived = useCallback(() => actions.set({ goTo: null }), [actions]);
  const chosen = draft.islands[island];
  if (chosen === undefined) return null;
  return (
    <PointGrid
      label={`Points of the ${chosen.efficiency} island`}
      columns={columns}
      flowFactor={(unit) => pastedFlowFactor(draft, unit)}
      rows={chosen.points}
      onRows={(points, key) =>
        edit((d) => withIsland(d, island, (old) => ({ ...old, points })), 'edit island', `island.${island}.${key}`)
      }
      marks={marks}
      goTo={target}
      onArrived={arrived}
      onRow={(row) => actions.set({ row: row === null ? null : { part: 'island', island, point: row } })}
      hint="Points along the contour, in order."
    />
  );
}
