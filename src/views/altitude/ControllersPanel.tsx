import { memo, useMemo } from 'react';
import type { Build } from '../../build/index.ts';
import { LineChart } from '../../plot/index.ts';
import type { CandidateStudy } from '../../store/index.ts';
import { rpmText } from '../../units/index.ts';
import { altitudeFromValue, altitudeUnit, altitudeValue } from '../shared/altitudeStudies.ts';
import { usePalette, useResultUnits } from '../shared/display.ts';
import { candidateLetter } from '../shared/provenance.ts';
import styles from './altitude.module.css';
import { controllerCharts, controllerWords } from './model/controllers.ts';
import { isDriven, nearestIndex, usePointed } from './model/pointed.ts';

interface Props {
  build: Build;
  study: CandidateStudy;
  index: number;
}

/** What a controller that holds gauge pressure and one that holds absolute pressure do with the same target, drawn and said. */
export const ControllersPanel = memo(function ControllersPanel({ build, study, index }: Props) {
  const palette = usePalette();
  const units = useResultUnits();
  const [pointed, point] = usePointed();
  const { controllers } = study;
  const speeds = controllers.engineSpeedsRpm;
  const rpm = speeds[nearestIndex(speeds, pointed.engineSpeedRpm ?? Number.POSITIVE_INFINITY)] ?? speeds.at(-1);
  const charts = useMemo(
    () => (rpm === undefined ? [] : controllerCharts(build, controllers, rpm, units)),
    [build, controllers, rpm, units],
  );
  const words = useMemo(
    () => (rpm === undefined ? [] : controllerWords(build, controllers, rpm, units)),
    [build, controllers, rpm, units],
  );
  const unit = altitudeUnit(build);
  const focusX = pointed.altitudeM === null ? null : altitudeValue(pointed.altitudeM, unit);
  return (
    <section className={styles.controllers} aria-label="Gauge or absolute pressure">
      <h2>
        Does the controller hold gauge or absolute pressure? {candidateLetter(index)} at{' '}
        {rpm === undefined ? 'no engine speed' : rpmText(rpm)}
      </h2>
      <div className={styles.words} data-driven={isDriven({ held: controllers.gauge }) || undefined}>
        {words.map(({ title, sentences }) => (
          <div key={title}>
            <h3>{title}</h3>
            {sentences.map((sentence) => (
              <p key={sentence}>{sentence}</p>
            ))}
          </div>
        ))}
      </div>
      <div className={styles.trio}>
        {charts.map(({ key, label, model }) => (
          <div key={key} className={styles.small}>
            <LineChart
              model={{ ...model, focusX, focusSeriesId: null }}
              palette={palette}
              label={label}
              keys="Left and right arrow read altitude by altitude."
              handlers={{ onPoint: (at) => at && point({ altitudeM: altitudeFromValue(at.x, unit) }) }}
            />
          </div>
        ))}
      </div>
    </section>
  );
});
