import { memo, useLayoutEffect, useMemo, useRef, useState } from 'react';
import { PLACES, shortTitle, showPoint } from '../../../match/index.ts';
import { MapPlot, type MapPlotModel, type PlotSize } from '../../../plot/index.ts';
import { type CandidateResults, pointAt, useCandidateResults } from '../../../store/index.ts';
import { formatNumber, NO_BREAK_SPACE } from '../../../units/index.ts';
import { usePalette, useResultUnits } from '../../shared/display.ts';
import { operatingLine, placeOf } from '../../shared/mapDrawing.ts';
import { candidateLetter, mapTitle } from '../../shared/provenance.ts';
import { useMapOfDay } from '../results/mapModel.ts';
import styles from './counter.module.css';

type Point = ReturnType<typeof pointAt>;

/** Size of the plot's own small texts: the drawing is enlarged until they are as large as all others here. */
const PLOT_TEXT_PX = 12;

/** The map of the chosen candidate, large, and what it does at one engine speed. */
export function CounterMap({ index, style }: { index: number; style: 'a' | 'b' }) {
  const results = useCandidateResults(index);
  return results && <LargeMap results={results} index={index} style={style} />;
}

function LargeMap({ results, index, style }: { results: CandidateResults; index: number; style: 'a' | 'b' }) {
  const { candidate, points, findings, input } = results;
  const [rpm, setRpm] = useState<number | null>(null);
  const at = rpm ?? peakSpeed(points);
  const letter = candidateLetter(index);
  const { chart } = useMapOfDay(results);
  const lines = useMemo(
    () =>
      points.length === 0
        ? []
        : [operatingLine(candidate.id, `${letter}: ${candidate.name}`, style, points, findings, input)],
    [candidate.id, candidate.name, letter, style, points, findings, input],
  );
  const point = useMemo((): Point => {
    if (at === null || input === null) return null;
    return points.find(({ engineSpeedRpm }) => engineSpeedRpm === at) ?? pointAt(input, at);
  }, [points, input, at]);
  const focus = useMemo(() => (point === null ? null : placeOf([point], at)), [point, at]);
  const model = useMemo(
    (): MapPlotModel | null => chart && { chart, operatingLines: lines, places: [], focus, legendElsewhere: true },
    [chart, lines, focus],
  );
  const title = mapTitle(candidate);
  return (
    <section className={styles.map} aria-label={`Map of candidate ${letter}`}>
      <h2 className={styles.mapTitle}>
        {letter}: {candidate.name}
        {title !== '' && title !== candidate.name && <span className={styles.mapName}>{title}</span>}
      </h2>
      {model === null ? (
        <p className={styles.nothing}>{results.problems[0]?.message ?? 'This candidate has no map yet.'}</p>
      ) : (
        <LargePlot model={model} label={`Compressor map of candidate ${letter}, ${title}`} />
      )}
      <p className={styles.hint}>Grey: shaft speed today, rpm. Green: efficiency, %. On the line: engine speed, rpm.</p>
      <SpeedReading point={point} at={at} points={points} onChoose={setRpm} />
    </section>
  );
}

/** Drawn small and enlarged, so that every text on it is as large as the page's own. It is looked at, not operated: nothing zooms by accident. */
const LargePlot = memo(function LargePlot({ model, label }: { model: MapPlotModel; label: string }) {
  const palette = usePalette();
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
  return (
    <div ref={holder} className={styles.plot}>
      {size !== null && size.width > 0 && <MapPlot model={model} palette={palette} size={size} label={label} />}
    </div>
  );
});

function peakSpeed(points: CandidateResults['points']): number | null {
  let best: { power: number; rpm: number } | null = null;
  for (const point of points) {
    if (point.status === 'ok' && point.brakePowerW > (best?.power ?? 0)) {
      best = { power: point.brakePowerW, rpm: point.engineSpeedRpm };
    }
  }
  return best?.rpm ?? points.at(-1)?.engineSpeedRpm ?? null;
}

const STEP_RPM = 50;

interface ReadingProps {
  point: Point;
  at: number | null;
  points: CandidateResults['points'];
  onChoose: (engineSpeedRpm: number) => void;
}

/** One engine speed, by a slider that a finger can hold. */
function SpeedReading({ point, at, points, onChoose }: ReadingProps) {
  const units = useResultUnits();
  const first = points[0]?.engineSpeedRpm;
  const last = points.at(-1)?.engineSpeedRpm;
  if (first === undefined || last === undefined || at === null) return null;
  const words = `${formatNumber(at, 0)}${NO_BREAK_SPACE}rpm`;
  return (
    <div className={styles.reading}>
      <label className={styles.speed}>
        <span>At {words}</span>
        <input
          type="range"
          className={styles.slider}
          aria-label="Engine speed"
          aria-valuetext={words}
          min={first}
          max={last}
          step={STEP_RPM}
          value={Math.min(Math.max(at, first), last)}
          onChange={(event) => onChoose(Number(event.target.value))}
        />
      </label>
      <dl className={styles.numbers}>
        {PLACES.counterReadOut.map((key) => (
          <div key={key}>
            <dt>{shortTitle(key)}</dt>
            <dd>{showPoint(key, point?.status === 'ok' ? point : null, units)}</dd>
          </div>
        ))}
      </dl>
      {point !== null && point.status !== 'ok' && <p className={styles.remark}>{point.message}</p>}
    </div>
  );
}
