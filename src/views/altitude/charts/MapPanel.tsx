import { memo, useMemo } from 'react';
import type { Build } from '../../../build/index.ts';
import { MapPlot, type MapPlotModel } from '../../../plot/index.ts';
import { type CandidateStudy, useCandidateResults, useSettings } from '../../../store/index.ts';
import { altitudeText, altitudeUnit } from '../../shared/altitudeStudies.ts';
import { usePalette } from '../../shared/display.ts';
import { candidateLetter } from '../../shared/provenance.ts';
import styles from '../altitude.module.css';
import { altitudeMapChart, altitudeMapLines } from '../model/altitudeMap.ts';
import { nearestIndex, nearestPlace } from '../model/pointed.ts';
import { usePointed } from '../usePointed.ts';

interface Props {
  build: Build;
  study: CandidateStudy;
  index: number;
}

/** The compressor map with the goal held at the altitude that is pointed at. */
export const MapPanel = memo(function MapPanel({ build, study, index }: Props) {
  const palette = usePalette();
  const results = useCandidateResults(index);
  const { flowAxisUnit } = useSettings();
  const [pointed, point] = usePointed();
  const { held } = study;
  const altitudeM = pointed.altitudeM ?? held.places.at(-1)?.altitudeM ?? 0;
  const row = nearestPlace(held.places, altitudeM);
  const chart = useMemo(
    () => (results === null ? null : altitudeMapChart(results, study, row, flowAxisUnit)),
    [results, study, row, flowAxisUnit],
  );
  const operatingLines = useMemo(
    () => altitudeMapLines(build, study, index, altitudeM),
    [build, study, index, altitudeM],
  );
  const { engineSpeedRpm } = pointed;
  const model = useMemo((): MapPlotModel | null => {
    if (chart === null) return null;
    const column = engineSpeedRpm === null ? -1 : nearestIndex(held.engineSpeedsRpm, engineSpeedRpm);
    const at = held.cells[row]?.[column]?.point;
    return { chart, operatingLines, places: NONE, focus: at?.status === 'ok' ? at : null };
  }, [chart, operatingLines, held, row, engineSpeedRpm]);
  const letter = candidateLetter(index);
  const altitude = altitudeText(held.places[row]?.altitudeM ?? null, altitudeUnit(build));
  return (
    <section className={styles.panel} aria-label={`Map of candidate ${letter} over altitude`}>
      <h2>
        Map of {letter} with the goal held at {altitude}
      </h2>
      <div className={styles.map}>
        {model !== null && (
          <MapPlot
            model={model}
            palette={palette}
            label={`Compressor map of candidate ${letter} with the goal held at ${altitude}`}
            handlers={{ onEngineSpeed: (near) => near && point({ engineSpeedRpm: near.engineSpeedRpm }) }}
          />
        )}
      </div>
    </section>
  );
});

const NONE: MapPlotModel['places'] = [];
