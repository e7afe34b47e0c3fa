import { useMemo } from 'react';
import { Button, IconButton } from '../../../widgets/index.ts';
import styles from '../maps.module.css';
import { addIsland, removeIsland } from '../model/editDraft.ts';
import { IslandHead, IslandPoints } from './ChosenIsland.tsx';
import { PickList } from './PickList.tsx';
import type { TableProps } from './tableProps.ts';

/** Efficiency islands: a list by efficiency, and the points of the chosen one. */
export function IslandsPanel(props: TableProps) {
  const { draft, desk } = props;
  return (
    <div className={styles.panel}>
      <p className={styles.lead}>
        Contours of equal efficiency. Not needed where the points of the lines carry their efficiency. An open one runs
        off the edge of the map.
      </p>
      <div className={styles.lineByLine}>
        <IslandList {...props} />
        {draft.islands[desk.island] !== undefined && (
          // Another island is another table: what was being typed or selected does not move over.
          <div key={desk.island} className={styles.linePoints}>
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
