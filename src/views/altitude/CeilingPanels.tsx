import { memo, useMemo } from 'react';
import { type Build, tryMatchInput } from '../../build/index.ts';
import { FieldChart, LineChart } from '../../plot/index.ts';
import { type CandidateStudy, useLugline } from '../../store/index.ts';
import { altitudeFromValue, altitudeUnit } from '../shared/altitudeStudies.ts';
import { candidateLetter, useResultUnits } from '../shared/display.ts';
import styles from './altitude.module.css';
import { bindingField, ceilingsChart, fieldWithPointed, seriesId, withPointed } from './model/ceilingCharts.ts';
import { readAltitudeM, usePointed } from './model/pointed.ts';
import { readOut } from './model/readOut.ts';

interface Props {
  build: Build;
  study: CandidateStudy;
  index: number;
}

/** The numbers at the engine speed and altitude that all charts point at. */
export const ReadOutStrip = memo(function ReadOutStrip({ build, study, index }: Props) {
  const units = useResultUnits();
  const [{ engineSpeedRpm, altitudeM }] = usePointed();
  const fitter = useLugline((state) => state.fitter);
  const input = useMemo(() => {
    const read = tryMatchInput(build, index, fitter);
    return read.ok ? read.input : null;
  }, [build, index, fitter]);
  const words = useMemo(
    () => readOut(build, study, { engineSpeedRpm, altitudeM }, units, input),
    [build, study, engineSpeedRpm, altitudeM, units, input],
  );
  return (
    <section className={styles.readOut} aria-label="Read-out">
      <p className={styles.where}>
        {candidateLetter(index)}, {words.where}
      </p>
      <dl data-many={words.terms.length > 6 ? words.terms.length : undefined}>
        {words.terms.map(({ title, value, detail }) => (
          <div key={title}>
            <dt>{title}</dt>
            <dd>
              <span>{value}</span>
              <small>{detail}</small>
            </dd>
          </div>
        ))}
      </dl>
    </section>
  );
});

/** The highest boost at which every limit holds, over engine speed: one line a place, and the goal among them. */
export const CeilingsPanel = memo(function CeilingsPanel({ build, study, index }: Props) {
  const [pointed, point] = usePointed();
  const goalAltitudeM = readAltitudeM(study.field.places, pointed) ?? 0;
  const chart = useMemo(() => ceilingsChart(build, study, goalAltitudeM), [build, study, goalAltitudeM]);
  const { engineSpeedRpm, altitudeM } = pointed;
  const model = useMemo(
    () => withPointed(chart, study, { engineSpeedRpm, altitudeM }),
    [chart, study, engineSpeedRpm, altitudeM],
  );
  const letter = candidateLetter(index);
  return (
    <section className={styles.panel} aria-label={`Ceilings of candidate ${letter}`}>
      <h2>Ceilings: the highest boost at which every limit holds</h2>
      <div className={styles.chart}>
        <LineChart
          model={model}
          label={`Ceilings of candidate ${letter} over engine speed, one line for each altitude and place`}
          keys="Left and right arrow read engine speed by engine speed, up and down place by place."
          handlers={{
            onPoint: (at) => {
              if (at === null) return;
              const row = study.ceilings.places.findIndex((_, i) => seriesId(i) === at.seriesId);
              const place = study.ceilings.places[row];
              point({ engineSpeedRpm: at.x, ...(place && { altitudeM: place.altitudeM }) });
            },
          }}
        />
      </div>
    </section>
  );
});

/** Which limit holds the boost down, over engine speed and altitude. */
export const FieldPanel = memo(function FieldPanel({ build, study, index }: Props) {
  const [{ engineSpeedRpm, altitudeM }, point] = usePointed();
  const field = useMemo(() => bindingField(build, study), [build, study]);
  const model = useMemo(
    () => fieldWithPointed(field, study, { engineSpeedRpm, altitudeM }),
    [field, study, engineSpeedRpm, altitudeM],
  );
  const letter = candidateLetter(index);
  return (
    <section className={styles.panel} aria-label={`What binds on candidate ${letter}`}>
      <h2>What binds: the limit that holds the boost down</h2>
      <div className={styles.chart}>
        {field.ys.length < 2 ? (
          <p className={styles.note}>
            Two altitudes at least are needed for this field. Check the altitudes on the left.
          </p>
        ) : (
          <FieldChart
            model={model}
            label={`Which limit binds on candidate ${letter}, over engine speed and altitude`}
            handlers={{
              onPoint: (cell) =>
                cell && point({ engineSpeedRpm: cell.x, altitudeM: altitudeFromValue(cell.y, altitudeUnit(build)) }),
            }}
          />
        )}
      </div>
    </section>
  );
});
