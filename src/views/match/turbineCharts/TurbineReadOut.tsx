import { formatNumber, NO_BREAK_SPACE } from '../../../units/index.ts';
import { useResultUnits } from '../../shared/useResultUnits.ts';
import { TURBINE_CELLS, turbineReadings } from './model/turbineReadings.ts';
import type { SectionSide } from './TurbineSection.tsx';
import styles from './turbine.module.css';

/** What the turbine does at the engine speed that all charts point at. */
export function TurbineReadOut({
  sides,
  engineSpeedRpm,
}: {
  sides: readonly SectionSide[];
  engineSpeedRpm: number | null;
}) {
  const units = useResultUnits();
  const at = engineSpeedRpm === null ? 'Point at a chart' : `At ${formatNumber(engineSpeedRpm, 0)}${NO_BREAK_SPACE}rpm`;
  return (
    <table className={styles.readOut} aria-label="Turbine at this engine speed">
      <thead>
        <tr>
          <th scope="col" className={styles.at}>
            {at}
          </th>
          {TURBINE_CELLS.map(({ key, title }) => (
            <th key={key} scope="col" data-cell={key}>
              {title}
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {sides.map(({ letter, point }) => {
          const texts = turbineReadings(point, units);
          return (
            <tr key={letter}>
              <th scope="row">{letter}</th>
              {TURBINE_CELLS.map(({ key }) => (
                <td key={key} data-cell={key} title={key === 'held' ? texts[key] : undefined}>
                  {texts[key]}
                </td>
              ))}
            </tr>
          );
        })}
      </tbody>
    </table>
  );
}
