import { useMemo } from 'react';
import { isTurbineSheet } from '../../../build/index.ts';
import { Button, IconButton } from '../../../widgets/index.ts';
import styles from '../maps.module.css';
import { addLine, removeLine, sortLines } from '../model/editDraft.ts';
import { sheetWords, speedUnitLabel } from '../model/sheetWords.ts';
import { PickList } from './PickList.tsx';
import type { TableProps } from './tableProps.ts';

/** The lines by their speed, to choose, add, delete and sort. */
export function LineList({ draft, findings, desk, actions, edit }: TableProps) {
  const { speedLines } = draft;
  const isTurbine = isTurbineSheet(draft);
  const { line: called } = sheetWords(draft);
  const chosen = speedLines[desk.line];
  const items = useMemo(
    () =>
      speedLines.map((line, i) => ({
        name: line.speed.trim() === '' ? (isTurbine ? `line ${i + 1}` : 'no speed') : line.speed,
        note: String(line.points.filter((p) => p.flow.trim() !== '' && p.pressureRatio.trim() !== '').length),
        worst: findings.find((f) => f.place?.part === 'speed-line' && f.place.line === i && f.severity !== 'note'),
      })),
    [speedLines, findings, isTurbine],
  );
  const add = () => {
    edit(addLine, `add ${called}`, 'lines');
    // A turbine's line needs no speed: its first point is what is typed next.
    const place = { part: 'speed-line', line: speedLines.length, ...(isTurbine && { point: 0 }) } as const;
    actions.set({ line: place.line, goTo: { place, code: isTurbine ? '' : 'speed' } });
  };
  const remove = () => {
    edit((d) => removeLine(d, desk.line), `delete ${called}`, `remove.${desk.line}`);
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
        label={isTurbine ? 'Lines of the turbine sheet' : 'Speed lines'}
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
          label={
            chosen?.speed.trim() ? `Delete the ${chosen.speed} ${speedUnitLabel(draft)} line` : 'Delete the chosen line'
          }
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
