import { memo, useLayoutEffect, useMemo, useRef, useState } from 'react';
import { type MapChart, MapPlot, type MapPlotModel, type PlotExtent, type PlotSize } from '../../../plot/index.ts';
import { mapTitle } from '../../shared/provenance.ts';
import type { Side } from '../model/side.ts';
import styles from './counter.module.css';

/** Size of the plot's own texts: the drawing is enlarged until they are as large as all others here. */
const PLOT_TEXT_PX = 13;

/** Without what only the workshop asks about: shaft speeds, and how a ratio is measured. */
function plainChart(chart: MapChart): MapChart {
  const speedLines = chart.speedLines.map((line) => ({ ...line, label: '' }));
  return { ...chart, speedLines, ratioAxis: { title: 'Pressure ratio' } };
}

/** The map of a candidate, drawn small and enlarged. It is looked at, not operated: nothing zooms by accident. */
export const CounterMap = memo(function CounterMap({ side, axes }: { side: Side; axes: PlotExtent | undefined }) {
  const { chart, lines, focus, letter, results } = side;
  const holder = useRef<HTMLDivElement>(null);
  const [size, setSize] = useState<PlotSize | null>(null);
  useLayoutEffect(() => {
    const element = holder.current;
    if (element === null) return;
    const measure = () => {
      const scale = Number.parseFloat(getComputedStyle(element).fontSize) / PLOT_TEXT_PX || 1;
      const next = { width: Math.floor(element.clientWidth / scale), height: Math.floor(element.clientHeight / scale) };
      setSize((before) => (before?.width === next.width && before.height === next.height ? before : next));
    };
    measure();
    const observer = new ResizeObserver(measure);
    observer.observe(element);
    return () => observer.disconnect();
  }, []);
  const model = useMemo(
    (): MapPlotModel | null =>
      chart && { chart: plainChart(chart), operatingLines: lines, places: [], focus, axes, wordsElsewhere: true },
    [chart, lines, focus, axes],
  );
  const label = `Compressor map of candidate ${letter}, ${mapTitle(results.candidate)}`;
  return (
    <section className={styles.map} aria-label={`Map of candidate ${letter}`}>
      <div className={styles.stage}>
        <div ref={holder} className={styles.plot}>
          {model === null && <p className="soft">{results.problems[0]?.message ?? 'This candidate has no map yet.'}</p>}
          {model !== null && size !== null && size.width > 0 && <MapPlot model={model} size={size} label={label} />}
        </div>
      </div>
    </section>
  );
});
