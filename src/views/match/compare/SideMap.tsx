import { memo, useMemo } from 'react';
import { MapPlot, type MapPlotModel, type PlotExtent } from '../../../plot/index.ts';
import { mapTitle } from '../../shared/estimateWords.ts';
import { usePalette } from '../../shared/usePalette.ts';
import { MapMissing } from '../results/MapMissing.tsx';
import styles from './compare.module.css';
import type { ComparedMap } from './useComparedMaps.ts';
import { useMapHandlers } from './useMapHandlers.ts';

interface Props {
  side: ComparedMap;
  axes: PlotExtent | null;
  onHoverSpeed: (engineSpeedRpm: number | null) => void;
  onChooseSpeed: (engineSpeedRpm: number) => void;
}

/** One of the two maps side by side, on axes that both share. */
export const SideMap = memo(function SideMap({ side, axes, onHoverSpeed, onChooseSpeed }: Props) {
  const palette = usePalette();
  const { chart, lines, focus, letter, results } = side;
  const handlers = useMapHandlers([side], onHoverSpeed, onChooseSpeed);
  const model = useMemo((): MapPlotModel | null => {
    if (chart === null || axes === null) return null;
    return {
      chart,
      operatingLines: lines,
      places: [],
      focus,
      axes,
      legendElsewhere: true,
    };
  }, [chart, lines, focus, axes]);
  return (
    <section className={styles.side} aria-label={`Map of candidate ${letter}`}>
      {model === null ? (
        <MapMissing results={results} />
      ) : (
        <MapPlot
          model={model}
          palette={palette}
          handlers={handlers}
          label={`Compressor map of candidate ${letter}, ${mapTitle(results.candidate)}`}
        />
      )}
    </section>
  );
});
