import { useMemo } from 'react';
import { Button, IconButton } from '../../../widgets/index.ts';
import styles from '../maps.module.css';
import { addLine, removeLine, sortLines } from '../model/editDraft.ts';
import { PickList } from './PickList.tsx';
import type { TableProps } from './tableProps.ts';

/** The speed lines by their speed, to choose, add, delete and sort. */
export function LineList({ draft, findings, desk, actions, edit }: TableProps) {
  const { speedLines } = draft;
  const chosen = speedLines[desk.line];
  const items = useMemo(
    () =>
      speedLines.map((line, i) => ({
        name: line.speed.trim() === '' ? 'no speed' : line.speed,
        note: String(line.points.filter((p) => p.flow.trim() !== '' && p.pressureRatio.trim() !== '').length),
        worst: findings.find((f) => f.place?.part === 'speed-line' && f.place.line === i && f.severity !== 'note'),
      })),
    [speedLines, findings],
  );
  const add = () => {
    edit(addLine, 'add speed line', 'lines');
    const place = { part: 'speed-line', line: speedLines.length } as const;
    actions.set({ line: place.line, goTo: { place, code: 'speed' } });
  };
  const remove = () => {
    edit((d) => removeLine(d, desk.line), 'delete speed line', `remove.${desk.line}`);
    actions.set({ line: Math.max(0, Math.min(desk.line, speedLines.length - 2)) });
  };
  const sort = () => {
    edit(sortLines, 'sort lines by speed', 'sort');
    // The chosen line stays chosen, wherever it moves.
    if (chosen) actions.set({ line: Math.max(0, sortLines(draft).speedLines.indexOf(chosen)) });
  };
  return (
    <div className={styles.lineList}>
      <PickList
        label="Speed lines"
        items={items}
        chosen={desk.line}
        onChoose={(line) => actions.set({ line })}
        onRest={(line) => actions.set({ row: line === null ? null : { part: 'speed-line', line } })}
      />
      <div className={styles.lineTools}>
        <Button variant="quiet" icon="plus" onPress={add}>
          Line
        </Button>
        <IconButton
          icon="trash"
          label={chosen?.speed.trim() ? `Delete the ${chosen.speed} rpm line` : 'Delete the chosen line'}
          onPress={remove}
        />
      </div>
      {sortLines(draft) !== draft && (
        <Button variant="quiet" onPress={sort}>
          Sort by speed
        </Button>
      )}
    </div>
  );
}
