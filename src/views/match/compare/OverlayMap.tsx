import { memo, useMemo, useRef } from 'react';
import { type MapChart, MapPlot, type MapPlotModel, type PlotExtent, type PlotPlace } from '../../../plot/index.ts';
import { usePalette } from '../../shared/usePalette.ts';
import { MapMissing } from '../results/MapMissing.tsx';
import { SaveMap } from '../results/SaveMap.tsx';
import styles from './compare.module.css';
import type { ComparedMap } from './useComparedMaps.ts';
import { useMapHandlers } from './useMapHandlers.ts';

interface Props {
  first: ComparedMap;
  second: ComparedMap;
  axes: PlotExtent | null;
  onHoverSpeed: (engineSpeedRpm: number | null) => void;
  onChooseSpeed: (engineSpeedRpm: number) => void;
}

/** Both maps in one drawing at one reference state: the first in solid lines with circles, the second dashed with diamonds. */
export const OverlayMap = memo(function OverlayMap({ first, second, axes, onHoverSpeed, onChooseSpeed }: Props) {
  const palette = usePalette();
  const handlers = useMapHandlers([first, second], onHoverSpeed, onChooseSpeed);
  const model = useOverlayModel(first, second, axes);
  const without = first.chart === null ? first : second;
  const drawn = useRef(model);
  drawn.current = model;
  return (
    <section className={styles.overlay} aria-label={`Maps of candidates ${first.letter} and ${second.letter} in one`}>
      <div className={styles.overlayTools}>
        <SaveMap
          candidates={[first.results.candidate, second.results.candidate]}
          model={drawn}
          hasMap={model !== null}
        />
      </div>
      {model === null ? (
        <MapMissing results={without.results} />
      ) : (
        <MapPlot
          model={model}
          palette={palette}
          handlers={handlers}
          label={`Compressor maps of candidates ${first.letter} and ${second.letter}, one over the other`}
        />
      )}
    </section>
  );
});

/** The drawing of both; null while one of them has no map. Islands are left out: two families of them could not be read. */
export function useOverlayModel(first: ComparedMap, second: ComparedMap, axes: PlotExtent | null): MapPlotModel | null {
  const base = useNamedChart(first);
  const over = useNamedChart(second);
  const operatingLines = useMemo(() => [...first.lines, ...second.lines], [first.lines, second.lines]);
  const [placeA, placeB] = [useReadPlace(first), useReadPlace(second)];
  return useMemo(() => {
    if (base === null || over === null || axes === null) return null;
    const places = [placeA, placeB].filter((place) => place !== null);
    return { chart: base, second: over, operatingLines, places, focus: null, axes, legendElsewhere: true };
  }, [base, over, operatingLines, placeA, placeB, axes]);
}

/** The chart with the candidate's letter on its lines, without islands. */
function useNamedChart({ chart, letter }: ComparedMap): MapChart | null {
  return useMemo(() => {
    if (chart === null) return null;
    const { ratedSpeedLine: rated } = chart;
    // Two limits in one drawing: whose is whose must stand with them.
    const ratedSpeedLine = rated && { ...rated, label: `${rated.label} (${letter})` };
    return { ...chart, letter, islands: [], ratedSpeedLine };
  }, [chart, letter]);
}

/** Where a candidate stands at the engine speed that is read, with its letter. */
function useReadPlace({ focus, letter }: ComparedMap): PlotPlace | null {
  return useMemo(
    () => focus && { id: `read-${letter}`, at: focus, severity: 'note', label: letter, highlighted: true },
    [focus, letter],
  );
}
