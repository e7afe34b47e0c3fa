import { memo, useMemo } from 'react';
import type { Build } from '../../../build/index.ts';
import { LineChart } from '../../../plot/index.ts';
import type { CandidateStudy } from '../../../store/index.ts';
import { usePalette } from '../../shared/display.ts';
import { candidateLetter } from '../../shared/provenance.ts';
import styles from '../altitude.module.css';
import { ceilingsChart, seriesId, withPointed } from '../model/ceilingsChart.ts';
import { readAltitudeM } from '../model/pointed.ts';
import { usePointed } from '../usePointed.ts';

interface Props {
  build: Build;
  study: CandidateStudy;
  index: number;
}

/** The highest boost at which every limit holds, over engine speed: one line a place, and the goal among them. */
export const CeilingsPanel = memo(function CeilingsPanel({ build, study, index }: Props) {
  const palette = usePalette();
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
          palette={palette}
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
