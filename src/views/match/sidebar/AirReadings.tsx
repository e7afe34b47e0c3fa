import { selectDayAir, useBuildField, useLugline } from '../../../store/index.ts';
import { airReadings } from '../model/airReadings.ts';
import styles from './sidebar.module.css';

/** What the air inputs come to, at once: pressure at the place, density, moisture; and what is doubtful about them. */
export function AirReadings() {
  const reading = useLugline(selectDayAir);
  const kind = useBuildField('air.barometer.kind');
  const { unit } = useBuildField('air.barometer.pressure');
  const rows = airReadings(reading, unit, kind);
  return (
    <>
      <dl className={styles.readings} aria-label="Air at the engine">
        {rows.map(({ title, value }) => (
          <div key={title} className={styles.reading}>
            <dt>{title}</dt>
            <dd>{value}</dd>
          </div>
        ))}
      </dl>
      {reading.notes.map(({ message }) => (
        <p key={message} className={styles.warning} role="status">
          {message}
        </p>
      ))}
      {reading.problems.map(({ path, message }) => (
        <p key={path} className={styles.trouble} role="status">
          {message}
        </p>
      ))}
    </>
  );
}
