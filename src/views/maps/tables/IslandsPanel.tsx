import { useCallback, useEffect, useMemo, useRef } from 'react';
import { Button, ChoiceRow, Icon, IconButton, TextLine } from '../../../widgets/index.ts';
import styles from '../maps.module.css';
import { cellMarks } from '../model/cellMarks.ts';
import { addIsland, removeIsland, withIsland } from '../model/editDraft.ts';
import { PointGrid } from './PointGrid.tsx';
import { pairColumns } from './pointColumns.ts';
import type { TableProps } from './tableProps.ts';

const KEYS = ['flow', 'pressureRatio'];
const ENDS = [
  { key: 'closed', name: 'Closed' },
  { key: 'open', name: 'Open' },
] as const;

/** Efficiency islands: a list by efficiency, and the points of the chosen one. */
export function IslandsPanel(props: TableProps) {
  const { draft, findings, desk, actions, edit } = props;
  const unit = draft.efficiencyUnit === '%' ? ' %' : '';
  const add = () => {
    edit(addIsland, 'add island', 'islands');
    actions.set({
      island: draft.islands.length,
      goTo: { place: { part: 'island', island: draft.islands.length }, code: 'efficiency' },
    });
  };
  const remove = () => {
    edit((d) => removeIsland(d, desk.island), 'delete island', `remove-island.${desk.island}`);
    actions.set({ island: Math.max(0, Math.min(desk.island, draft.islands.length - 2)) });
  };
  return (
    <div className={styles.panel}>
      <p className={styles.lead}>
        Contours of equal efficiency. Not needed where the points of the lines carry their efficiency. An open one runs
        off the edge of the map.
      </p>
      <div className={styles.lineByLine}>
        <div className={styles.lineList}>
          <ul aria-label="Efficiency islands">
            {draft.islands.map((island, i) => {
              const worst = findings.find(
                (f) => f.place?.part === 'island' && f.place.island === i && f.severity !== 'note',
              );
              return (
                // biome-ignore lint/suspicious/noArrayIndexKey: an island is known by its place; its efficiency is being typed
                <li key={i}>
                  <button
                    type="button"
                    className={styles.lineButton}
                    aria-current={i === desk.island}
                    onClick={() => actions.set({ island: i })}
                  >
                    <span className={styles.lineSpeed}>
                      {island.efficiency.trim() === '' ? 'no value' : `${island.efficiency}${unit}`}
                    </span>
                    {worst ? (
                      <span className={styles[worst.severity]} title={worst.message}>
                        <Icon name={worst.severity === 'error' ? 'stop' : 'caution'} />
                        <span className={styles.hidden}>{worst.severity}</span>
                      </span>
                    ) : (
                      <span className={styles.lineCount}>{island.closed ? 'closed' : 'open'}</span>
                    )}
                  </button>
                </li>
              );
            })}
          </ul>
          <div className={styles.lineTools}>
            <Button variant="quiet" icon="plus" onPress={add}>
              Island
            </Button>
            {draft.islands.length > 0 && <IconButton icon="trash" label="Delete the chosen island" onPress={remove} />}
          </div>
        </div>
        {draft.islands[desk.island] !== undefined && <ChosenIsland key={desk.island} {...props} />}
      </div>
    </div>
  );
}

function ChosenIsland({ draft, findings, desk, actions, edit }: TableProps) {
  const { island, goTo } = desk;
  const head = useRef<HTMLDivElement>(null);
  const columns = useMemo(() => pairColumns(draft.flowUnit), [draft.flowUnit]);
  const marks = useMemo(
    () =>
      cellMarks(findings, KEYS, (place) =>
        place.part === 'island' && place.island === island ? (place.point ?? null) : null,
      ),
    [findings, island],
  );
  const place = goTo?.place.part === 'island' && goTo.place.island === island ? goTo.place : null;
  const target = useMemo(
    () => (place?.point === undefined ? null : { row: place.point, key: 'flow' as const }),
    [place],
  );
  const toHead = place !== null && place.point === undefined;
  useEffect(() => {
    if (!toHead) return;
    head.current?.querySelector('input')?.focus();
    actions.set({ goTo: null });
  }, [toHead, actions]);
  const arrived = useCallback(() => actions.set({ goTo: null }), [actions]);
  const chosen = draft.islands[island];
  if (chosen === undefined) return null;
  const said = findings.find(
    (f) =>
      f.severity !== 'note' && f.place?.part === 'island' && f.place.island === island && f.place.point === undefined,
  );
  return (
    <div className={styles.linePoints}>
      <div ref={head} className={styles.islandHead}>
        <TextLine
          label={draft.efficiencyUnit === '%' ? 'Efficiency, %' : 'Efficiency, 0 to 1'}
          value={chosen.efficiency}
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
          value={chosen.closed ? 'closed' : 'open'}
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
      <PointGrid
        label={`Points of the ${chosen.efficiency} island`}
        columns={columns}
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
    </div>
  );
}
