import { memo, useMemo } from 'react';
import { LineChart } from '../../../plot/index.ts';
import type { SpreadStudy } from '../../../store/index.ts';
import { usePalette } from '../../shared/display.ts';
import styles from '../altitude.module.css';
import { spreadCeilings } from '../model/ceilingsChart.ts';
import { crossingChance, isSpreadDriven, spreadShaft, spreadWords } from '../model/spreadCharts.ts';
import { usePointed } from '../usePointed.ts';
import { InfluenceBars } from './InfluenceBars.tsx';
import { TurbineInfluences } from './TurbineInfluences.tsx';

const KEYS = 'Left and right arrow read engine speed by engine speed.';

/** Bands, chances and influences of one spread. */
export const SpreadResults = memo(function SpreadResults({ study }: { study: SpreadStudy }) {
  const palette = usePalette();
  const [{ engineSpeedRpm }, point] = usePointed();
  const { build, spread, ambientPressurePa } = study;
  const charts = useMemo(
    () => [
      { key: 'shaft', label: 'Shaft speed with its band', model: spreadShaft(spread) },
      { key: 'ceiling', label: 'Ceiling with its band', model: spreadCeilings(build, spread, ambientPressurePa) },
      { key: 'chance', label: 'Chance that a limit is crossed', model: crossingChance(spread) },
    ],
    [build, spread, ambientPressurePa],
  );
  return (
    <>
      <div className={styles.trio}>
        {charts.map(({ key, label, model }) => (
          <div key={key} className={styles.medium}>
            <LineChart
              model={{ ...model, focusX: engineSpeedRpm }}
              palette={palette}
              label={`${label}, over engine speed`}
              keys={KEYS}
              handlers={{ onPoint: (at) => at && point({ engineSpeedRpm: at.x }) }}
            />
          </div>
        ))}
      </div>
      <div className={styles.spreadWords}>
        {spreadWords(build, study, engineSpeedRpm).map((sentence) => (
          <p key={sentence}>{sentence}</p>
        ))}
      </div>
      <div className={styles.influences}>
        <InfluenceBars build={build} spread={spread} output="shaftSpeedRpm" title="What moves the shaft speed most" />
        <InfluenceBars build={build} spread={spread} output="ceilingPa" title="What moves the ceiling most" />
        {isSpreadDriven(spread) && <TurbineInfluences build={build} spread={spread} />}
      </div>
    </>
  );
});
