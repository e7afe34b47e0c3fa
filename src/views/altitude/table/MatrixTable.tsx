import { memo } from 'react';
import type { Matrix } from '../../shared/altitudeStudies.ts';
import styles from '../altitude.module.css';
import { nearestIndex } from '../model/pointed.ts';
import { usePointed } from '../usePointed.ts';

/** One quantity of the calibration table on screen; the cell that all charts point at is marked, and pointing here moves them. */
export const MatrixTable = memo(function MatrixTable({ matrix }: { matrix: Matrix }) {
  const [pointed, point] = usePointed();
  const altitudes = matrix.columns.map(({ altitudeM }) => altitudeM);
  const column = pointed.altitudeM === null ? -1 : nearestIndex(altitudes, pointed.altitudeM);
  const speeds = matrix.rows.map(({ engineSpeedRpm }) => engineSpeedRpm);
  const row = pointed.engineSpeedRpm === null ? -1 : nearestIndex(speeds, pointed.engineSpeedRpm);
  const move = (down: number, right: number) => {
    const engineSpeedRpm = speeds[Math.min(Math.max(row + down, 0), speeds.length - 1)];
    const altitudeM = altitudes[Math.min(Math.max(column + right, 0), altitudes.length - 1)];
    point({ ...(engineSpeedRpm !== undefined && { engineSpeedRpm }), ...(altitudeM !== undefined && { altitudeM }) });
  };
  return (
    <section
      className={styles.scroll}
      aria-label="Calibration table, arrow keys walk its cells"
      // biome-ignore lint/a11y/noNoninteractiveTabindex: a box that scrolls must be reachable by keyboard, and its arrow keys walk the cells
      tabIndex={0}
      onKeyDown={(event) => {
        const step = STEPS[event.key];
        if (step === undefined) return;
        event.preventDefault();
        move(...step);
      }}
    >
      <table className={styles.matrix} aria-label={`${matrix.title}, ${matrix.unit}`}>
        <thead>
          <tr>
            <th scope="col">
              Engine speed <span>rpm</span>
            </th>
            {matrix.columns.map((one, i) => (
              <th key={one.key} scope="col" aria-current={i === column || undefined}>
                {one.title} <span>{one.detail}</span>
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {matrix.rows.map((one, r) => (
            <tr key={one.engineSpeedRpm} aria-current={r === row || undefined}>
              <th scope="row">{one.engineSpeed}</th>
              {one.cells.map((cell, c) => (
                <td
                  key={matrix.columns[c]?.key}
                  data-over={cell.isOver || undefined}
                  data-pointed={(r === row && c === column) || undefined}
                  onPointerEnter={() => point({ engineSpeedRpm: one.engineSpeedRpm, altitudeM: altitudes[c] ?? null })}
                >
                  {cell.text}
                  {cell.mark !== '' && <small>{cell.mark}</small>}
                </td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
});

const STEPS: Readonly<Record<string, [number, number]>> = {
  ArrowUp: [-1, 0],
  ArrowDown: [1, 0],
  ArrowLeft: [0, -1],
  ArrowRight: [0, 1],
};
