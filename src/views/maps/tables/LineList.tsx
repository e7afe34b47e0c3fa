import { Button, Icon, IconButton } from '../../../widgets/index.ts';
import styles from '../maps.module.css';
import { addLine, removeLine, sortLines } from '../model/editDraft.ts';
import type { TableProps } from './tableProps.ts';

/** The speed lines by their speed; one is chosen and its points are beside it. */
export function LineList({ draft, findings, desk, actions, edit }: TableProps) {
  const { speedLines } = draft;
  const isSorted = sortLines(draft) === draft;
  const add = () => {
    edit(addLine, 'add speed line', 'lines');
    actions.set({
      line: speedLines.length,
      goTo: { place: { part: 'speed-line', line: speedLines.length }, code: 'speed' },
    });
  };
  const remove = () => {
    edit((d) => removeLine(d, desk.line), 'delete speed line', `remove.${desk.line}`);
    actions.set({ line: Math.max(0, Math.min(desk.line, speedLines.length - 2)) });
  };
  const chosen = speedLines[desk.line];
  const sort = () => {
    edit(sortLines, 'sort lines by speed', 'sort');
    // The chosen line stays chosen, wherever it moves.
    if (chosen) actions.set({ line: Math.max(0, sortLines(draft).speedLines.indexOf(chosen)) });
  };
  return (
    <div className={styles.lineList}>
      <ul aria-label="Speed lines">
        {speedLines.map((line, i) => {
          const worst = findings.find(
            (f) => f.place?.part === 'speed-line' && f.place.line === i && f.severity !== 'note',
          );
          const points = line.points.filter((p) => p.flow.trim() !== '' && p.pressureRatio.trim() !== '').length;
          return (
            // biome-ignore lint/suspicious/noArrayIndexKey: a line is known by its place; its speed is being typed
            <li key={i}>
              <button
                type="button"
                className={styles.lineButton}
                aria-current={i === desk.line}
                onClick={() => actions.set({ line: i })}
                onMouseEnter={() => actions.set({ row: { part: 'speed-line', line: i } })}
                onMouseLeave={() => actions.set({ row: null })}
              >
                <span className={styles.lineSpeed}>{line.speed.trim() === '' ? 'no speed' : line.speed}</span>
                {worst ? (
                  <span className={styles[worst.severity]} title={worst.message}>
                    <Icon name={worst.severity === 'error' ? 'stop' : 'caution'} />
                    <span className={styles.hidden}>{worst.severity}</span>
                  </span>
                ) : (
                  <span className={styles.lineCount} title={`${points} points`}>
                    {points}
                  </span>
                )}
              </button>
            </li>
          );
        })}
      </ul>
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
      {!isSorted && (
        <Button variant="quiet" onPress={sort}>
          Sort by speed
        </Button>
      )}
    </div>
  );
}
