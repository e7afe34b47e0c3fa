import { memo, useEffect, useMemo, useRef } from 'react';
import { type FlowAndRatio, type ReferenceState, referenceFactors } from '../../../compressor/index.ts';
import { type OperatingPoint, resultUnits, showResult } from '../../../match/index.ts';
import {
  type CandidateStyle,
  type MapChart,
  MapPlot,
  type MapPlotHandlers,
  type MapPlotModel,
  type MapReadout,
  type PlotExtent,
  type PlotOperatingLine,
  type PlotPlace,
  sharedAxes,
} from '../../../plot/index.ts';
import { type CandidateResults, pointAt, type UiState, useSettings } from '../../../store/index.ts';
import { referredPoint, referredResults } from '../../shared/comparison.ts';
import { usePalette, useResultUnits } from '../../shared/display.ts';
import { operatingLine, placeOf } from '../../shared/mapDrawing.ts';
import { candidateLetter, mapTitle } from '../../shared/provenance.ts';
import { MapMissing, SaveMap } from '../results/MapPanel.tsx';
import { useMapOfDay } from '../results/mapModel.ts';
import { type ReadMap, readOutDescription, readOutWords } from '../results/readOut.ts';
import styles from './compare.module.css';

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

interface SideProps {
  side: ComparedMap;
  axes: PlotExtent | null;
  onHoverSpeed: (engineSpeedRpm: number | null) => void;
  onChooseSpeed: (engineSpeedRpm: number) => void;
}

/** One of the two maps side by side, on axes that both share. */
export const SideMap = memo(function SideMap({ side, axes, onHoverSpeed, onChooseSpeed }: SideProps) {
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

/** One of two candidates as it is drawn beside or over the other: at the reference state of the first one's map. */
export interface ComparedMap {
  index: number;
  letter: string;
  style: CandidateStyle;
  /** Points at the common reference state. */
  results: CandidateResults;
  chart: MapChart | null;
  read: ReadMap | null;
  lines: readonly PlotOperatingLine[];
  /** The operating point of the engine speed that is looked at; null: none is, or it has no input. */
  point: OperatingPoint | null;
  focus: FlowAndRatio | null;
}

/** Everything about one side. Parts stay the same objects while what they show is the same. */
export function useComparedMap(
  own: CandidateResults,
  index: number,
  style: CandidateStyle,
  reference: ReferenceState | null,
  engineSpeedRpm: number | null,
): ComparedMap {
  const results = useMemo(() => referredResults(own, reference), [own, reference]);
  const letter = candidateLetter(index);
  const { chart, read } = useMapOfDay(results);
  const { candidate, points, findings, input } = results;
  const lines = useMemo(
    () =>
      points.length === 0
        ? []
        : [{ ...operatingLine(candidate.id, `${letter}: ${candidate.name}`, style, points, findings, input), letter }],
    [candidate.id, candidate.name, letter, style, points, findings, input],
  );
  const point = useMemo(() => pointOf(own, results, engineSpeedRpm), [own, results, engineSpeedRpm]);
  const focus = useMemo(() => (point === null ? null : placeOf([point], engineSpeedRpm)), [point, engineSpeedRpm]);
  return { index, letter, style, results, chart, read, lines, point, focus };
}

/** Also between the computed engine speeds. */
function pointOf(own: CandidateResults, referred: CandidateResults, rpm: number | null): OperatingPoint | null {
  if (rpm === null || own.input === null) return null;
  const known = referred.points.find((point) => point.engineSpeedRpm === rpm);
  if (known !== undefined) return known;
  const point = pointAt(own.input, rpm);
  if (point === null || own.surface === null || referred.surface === null) return point;
  return referredPoint(point, referenceFactors(own.surface.reference, referred.surface.reference));
}

/** The axes that hold both; the same object while they are the same. null while neither has a map. */
export function useSharedAxes(first: ComparedMap, second: ComparedMap): PlotExtent | null {
  const last = useRef<{ key: string; axes: PlotExtent } | null>(null);
  const models = [first, second].flatMap(({ chart, lines }) =>
    chart === null ? [] : [{ chart, operatingLines: lines }],
  );
  if (models.length === 0) return null;
  const axes = sharedAxes(models);
  const key = JSON.stringify(axes);
  if (last.current?.key !== key) last.current = { key, axes };
  return last.current.axes;
}

/** What pointer and keys on one of the maps do: an engine speed under the pointer is shown on both; walked to by keys it is chosen. */
export function useMapHandlers(
  sides: readonly ComparedMap[],
  onHoverSpeed: (engineSpeedRpm: number | null) => void,
  onChooseSpeed: (engineSpeedRpm: number) => void,
): MapPlotHandlers {
  const { flowAxisUnit } = useSettings();
  const units = useResultUnits();
  const words = (at: MapReadout) => {
    const side = sides.find(({ lines }) => lines[0]?.id === at.near?.lineId) ?? sides[0];
    const found = readOutWords({
      at,
      read: side?.read ?? null,
      points: side?.results.points ?? [],
      chosenPoint: null,
      flowUnit: flowAxisUnit,
      units,
    });
    // Over two maps at once a place means two things: which one is read must be said.
    if (sides.length < 2) return found;
    const [heading, shortHeading] = [found.heading, found.shortHeading ?? found.heading].map(
      (text) => `${side?.letter}: ${text}`,
    );
    return { ...found, heading: heading!, shortHeading: shortHeading! };
  };
  const newest = useRef(words);
  newest.current = words;
  useEffect(() => () => onHoverSpeed(null), [onHoverSpeed]);
  return useMemo(
    () => ({
      onHover: (at: MapReadout | null) => {
        if (at?.source === 'keyboard' && at.near !== null) onChooseSpeed(at.near.engineSpeedRpm);
      },
      onEngineSpeed: (near: MapReadout['near']) => onHoverSpeed(near?.engineSpeedRpm ?? null),
      describe: (at: MapReadout) => readOutDescription(newest.current(at), at.source === 'keyboard'),
    }),
    [onHoverSpeed, onChooseSpeed],
  );
}

/** What the lines of both drawings are, once for both. */
export const MapKey = memo(
  function MapKey({
    first,
    second,
    layout,
  }: {
    first: ComparedMap;
    second: ComparedMap;
    layout: UiState['matchLayout'];
  }) {
    return (
      <ul className={styles.key} aria-label="What the lines are">
        {keyTexts(first, second, layout).map((text) => (
          <li key={text}>{text}</li>
        ))}
        {partTexts(first, second).map(({ text, isThere }) => (
          <li key={text} className={isThere ? '' : styles.absent}>
            {text}
          </li>
        ))}
      </ul>
    );
  },
  (before, now) =>
    keyTexts(before.first, before.second, before.layout).join() ===
      keyTexts(now.first, now.second, now.layout).join() &&
    JSON.stringify(partTexts(before.first, before.second)) === JSON.stringify(partTexts(now.first, now.second)),
);

function keyTexts(first: ComparedMap, second: ComparedMap, layout: UiState['matchLayout']): readonly string[] {
  const chart = first.chart ?? second.chart;
  if (chart === null) return [];
  const islands = layout === 'overlay' ? '' : ((first.chart?.islandLabelNote || second.chart?.islandLabelNote) ?? '');
  return [
    `${first.letter}: solid, circles`,
    `${second.letter}: dashed, diamonds`,
    'Marks: engine speed, rpm',
    chart.speedLabelNote,
    islands,
    'Dotted: extended beyond the sheet',
    referenceWords(first, second, chart.flowAxis.unit),
  ].filter((text) => text !== '');
}

/** How the parts of a line look that the goal does not hold. One that neither line has keeps its room: nothing jumps when it comes. */
function partTexts(first: ComparedMap, second: ComparedMap): readonly { text: string; isThere: boolean }[] {
  const points = [...first.lines, ...second.lines].flatMap((line) => line.points);
  const has = (part: 'turbine' | 'ceiling') => points.some((point) => point?.part === part);
  const isDriven = [first, second].some(({ results }) => results.input?.turbine !== undefined);
  return [
    ...(isDriven ? [{ text: 'Hollow: turbine-limited', isThere: has('turbine') }] : []),
    { text: 'Ticks across: over a limit', isThere: has('ceiling') },
  ];
}

/** Corrected flow means nothing without the state that it is corrected to. */
function referenceWords(first: ComparedMap, second: ComparedMap, flowUnit: string): string {
  const surface = first.results.surface ?? second.results.surface;
  if (surface === null) return '';
  const { temperatureK, pressurePa } = surface.reference;
  // A flow in lb/min stands by °F and inHg.
  const units = resultUnits({ system: flowUnit === 'kg/s' || flowUnit === 'm³/s' ? 'metric' : 'us' });
  const state = `${showResult(temperatureK, 'reference-temperature', units)}, ${showResult(pressurePa, 'reference-pressure', units)}`;
  return `Both corrected to ${state}`;
}
