import { useCallback, useMemo } from 'react';
import { Button, ChoiceRow, IconButton, TextLine } from '../../widgets/index.ts';
import { type TableProps, useGoneTo } from './desk.ts';
import {
  addIsland,
  removeIsland,
  setSurgeLine,
  surgeLineFromLines,
  withIsland,
  withPastedIslands,
} from './editDraft.ts';
import { PickList } from './LinesPanel.tsx';
import styles from './maps.module.css';
import { cellMarks, PointGrid, pairColumns, useColumns } from './PointGrid.tsx';
import { splitTable } from './paste/cells.ts';
import { pastedFlowFactor, pastedIslands } from './paste/takePaste.ts';

/** Efficiency islands: a list by efficiency, and the points of the chosen one. */
export function IslandsPanel(props: TableProps) {
  const { draft, desk, edit } = props;
  /** A table of three columns is all islands at once, wherever it is pasted here. */
  const take = (text: string): boolean => {
    const pasted = pastedIslands(draft, splitTable(text));
    if (pasted !== null) edit((d) => withPastedIslands(d, pasted), 'paste islands', 'paste-islands');
    return pasted !== null;
  };
  return (
    <div
      className={styles.panel}
      onPasteCapture={(event) => {
        if (!take(event.clipboardData.getData('text/plain'))) return;
        event.preventDefault();
        event.stopPropagation();
      }}
    >
      <p className={styles.lead}>
        Contours of equal efficiency. Not needed where the points of the lines carry their efficiency. An open one runs
        off the edge of the map.
      </p>
      {draft.islands.length === 0 && (
        <TextLine
          label="All islands at once"
          stacked
          rows={3}
          value=""
          placeholder="Paste efficiency, flow and pressure ratio here: as columns, or in blocks under their efficiencies"
          onChange={take}
        />
      )}
      <div className={styles.lineByLine}>
        <IslandList {...props} />
        {draft.islands[desk.island] !== undefined && (
          // Another island is another table: what was being typed or selected does not move over.
          <div key={desk.island} className="column gap-m narrow">
            <IslandHead {...props} />
            <IslandPoints {...props} />
          </div>
        )}
      </div>
    </div>
  );
}

function IslandList({ draft, findings, desk, actions, edit }: TableProps) {
  const { islands, efficiencyUnit } = draft;
  const items = useMemo(
    () =>
      islands.map((island, i) => ({
        name:
          island.efficiency.trim() === '' ? 'no value' : `${island.efficiency}${efficiencyUnit === '%' ? ' %' : ''}`,
        note: island.closed ? 'closed' : 'open',
        worst: findings.find((f) => f.place?.part === 'island' && f.place.island === i && f.severity !== 'note'),
      })),
    [islands, efficiencyUnit, findings],
  );
  const add = () => {
    edit(addIsland, 'add island', 'islands');
    const place = { part: 'island', island: islands.length } as const;
    actions.set({ island: place.island, goTo: { place, code: 'efficiency' } });
  };
  const remove = () => {
    edit((d) => removeIsland(d, desk.island), 'delete island', `remove-island.${desk.island}`);
    actions.set({ island: Math.max(0, Math.min(desk.island, islands.length - 2)) });
  };
  return (
    <div className={styles.lineList}>
      <PickList
        label="Efficiency islands"
        items={items}
        chosen={desk.island}
        onChoose={(island) => actions.set({ island })}
      />
      <div className={styles.lineTools}>
        <Button variant="quiet" icon="plus" onPress={add}>
          Island
        </Button>
        {islands.length > 0 && <IconButton icon="trash" label="Delete the chosen island" onPress={remove} />}
      </div>
    </div>
  );
}

const ENDS = [
  { key: 'closed', name: 'Closed' },
  { key: 'open', name: 'Open' },
] as const;

/** Efficiency of the chosen island, and whether it closes on itself. */
function IslandHead({ draft, findings, desk, actions, edit }: TableProps) {
  const { island, goTo } = desk;
  const isTarget = goTo?.place.part === 'island' && goTo.place.island === island && goTo.place.point === undefined;
  const head = useGoneTo(isTarget, actions);
  const chosen = draft.islands[island];
  const problem = findings.find(
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
        error={problem?.message ?? null}
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
function IslandPoints({ draft, findings, desk, actions, edit }: TableProps) {
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
      hint="Points along the contour, in order. All islands at once: paste columns of efficiency, flow and pressure ratio."
    />
  );
}

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
