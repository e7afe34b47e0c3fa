import { memo, type RefObject, useMemo, useRef } from 'react';
import {
  type MapChart,
  MapPlot,
  type MapPlotController,
  type MapPlotHandlers,
  type MapPlotModel,
  type MapReadout,
  type PlotExtent,
  type PlotPlace,
  sharedAxes,
} from '../../../plot/index.ts';
import { mapTitle } from '../../shared/display.ts';
import { mapPlaces } from '../../shared/mapDrawing.ts';
import styles from '../match.module.css';
import type { Side } from '../model/side.ts';
import { MapMissing } from './MapMissing.tsx';

/** What pointer and keys on a map do; always the same object. */
export interface Pointing {
  /** A place of a map is read; null: no longer. Its words are for those who hear instead of see. */
  onRead: (at: MapReadout | null, letters: string) => void;
  describe: (at: MapReadout, letters: string) => readonly string[];
  /** The engine speed of an operating point under the pointer; null: none. */
  onHoverSpeed: (engineSpeedRpm: number | null) => void;
  onChooseSpeed: (engineSpeedRpm: number) => void;
  /** A mark of a finding was pressed. */
  onPlace: (findingId: string, letter: string) => void;
}

/** The letter of the finding's candidate stands before it: two maps in one drawing may mark findings of the same name. */
const placeId = (letter: string, id: string) => `${letter}${id}`;

function usePointing(letters: string, pointing: Pointing): MapPlotHandlers {
  return useMemo(
    () => ({
      onHover: (at) => {
        // Walked to by keyboard it is chosen. Pointing alone chooses nothing.
        if (at?.source === 'keyboard' && at.near !== null) pointing.onChooseSpeed(at.near.engineSpeedRpm);
        pointing.onRead(at, letters);
      },
      onEngineSpeed: (near) => pointing.onHoverSpeed(near?.engineSpeedRpm ?? null),
      describe: (at) => pointing.describe(at, letters),
      onPlace: (id) => pointing.onPlace(id.slice(1), id.charAt(0)),
    }),
    [letters, pointing],
  );
}

interface MapProps {
  /** What is drawn, for keeping it as a file. */
  drawn: RefObject<MapPlotModel | null>;
  plot: RefObject<MapPlotController | null>;
  pointing: Pointing;
}

interface OneProps extends MapProps {
  side: Side;
  /** Id of the finding that is pointed at. */
  chosenId: string | null;
  /** Left out: the map's own. */
  axes?: PlotExtent | undefined;
}

/** The compressor map of the day with the operating line of one candidate on it. */
export const OneMap = memo(function OneMap({ side, chosenId, axes, drawn, plot, pointing }: OneProps) {
  const { chart, lines, words, focus, letter, results } = side;
  const handlers = usePointing(letter, pointing);
  const places = useMemo(
    () => mapPlaces(words, results.points, chosenId).map((place) => ({ ...place, id: placeId(letter, place.id) })),
    [words, results.points, chosenId, letter],
  );
  const model = useMemo(
    (): MapPlotModel | null => chart && { chart, operatingLines: lines, places, focus, axes, wordsElsewhere: true },
    [chart, lines, places, focus, axes],
  );
  drawn.current = model;
  return (
    <section className={styles.map} aria-label={`Map of candidate ${letter}`}>
      <MapTitle sides={[side]} />
      {model === null ? (
        <MapMissing results={results} />
      ) : (
        <MapPlot
          ref={plot}
          model={model}
          handlers={handlers}
          label={`Compressor map of candidate ${letter}, ${mapTitle(results.candidate)}`}
        />
      )}
    </section>
  );
});

/** Whose map it is, in the corner left of surge that a map leaves empty. */
const MapTitle = memo(
  function MapTitle({ sides }: { sides: readonly Side[] }) {
    return (
      <div className={styles.mapTitle}>
        {sides.map(({ letter, results: { candidate } }) => (
          <h2 key={letter} className="small ui-plain" title={(candidate.map ?? candidate.donor)?.source}>
            {sides.length > 1 && `${letter}: `}
            {mapTitle(candidate)}
          </h2>
        ))}
      </div>
    );
  },
  (before, now) =>
    before.sides.length === now.sides.length &&
    before.sides.every(({ results }, i) => results.candidate === now.sides[i]!.results.candidate),
);

interface TwoProps extends MapProps {
  first: Side;
  second: Side;
  chosen: { index: number; findingId: string } | null;
  layout: 'side-by-side' | 'overlay';
}

/** Two maps on equal axes at one reference state, beside each other or in one drawing. */
export function TwoMaps({ first, second, chosen, layout, ...map }: TwoProps) {
  const axes = useSharedAxes(first, second);
  if (layout === 'overlay') return <OverlayMap first={first} second={second} axes={axes} {...map} />;
  return [first, second].map((side, at) => (
    <OneMap
      key={side.letter}
      side={side}
      axes={axes}
      chosenId={chosen?.index === side.index ? chosen.findingId : null}
      pointing={map.pointing}
      drawn={at === 0 ? map.drawn : SECOND.drawn}
      plot={at === 0 ? map.plot : SECOND.plot}
    />
  ));
}

/** What is kept as a file is the first map. */
const SECOND = { drawn: { current: null }, plot: { current: null } };

/** The axes that hold both; the same object while they are the same. undefined while neither has a map. */
export function useSharedAxes(...sides: readonly Side[]): PlotExtent | undefined {
  const last = useRef<{ key: string; axes: PlotExtent } | null>(null);
  const models = sides.flatMap(({ chart, lines }) => (chart === null ? [] : [{ chart, operatingLines: lines }]));
  if (models.length === 0) return undefined;
  const axes = sharedAxes(models);
  const key = JSON.stringify(axes);
  if (last.current?.key !== key) last.current = { key, axes };
  return last.current.axes;
}

interface OverlayProps extends MapProps {
  first: Side;
  second: Side;
  axes: PlotExtent | undefined;
}

/** Both maps in one drawing. Islands, extensions and speed labels are left out: two families of them could not be read. */
const OverlayMap = memo(function OverlayMap({ first, second, axes, drawn, plot, pointing }: OverlayProps) {
  const letters = `${first.letter}${second.letter}`;
  const handlers = usePointing(letters, pointing);
  const base = useBareChart(first);
  const over = useBareChart(second);
  const operatingLines = useMemo(() => [...first.lines, ...second.lines], [first.lines, second.lines]);
  const [placeA, placeB] = [useReadPlace(first), useReadPlace(second)];
  const model = useMemo((): MapPlotModel | null => {
    if (base === null || over === null || axes === undefined) return null;
    const places = [placeA, placeB].filter((place) => place !== null);
    return { chart: base, second: over, operatingLines, places, focus: null, axes, wordsElsewhere: true };
  }, [base, over, operatingLines, placeA, placeB, axes]);
  drawn.current = model;
  return (
    <section className={styles.map} aria-label={`Maps of candidates ${first.letter} and ${second.letter} in one`}>
      <MapTitle sides={[first, second]} />
      {model === null ? (
        <MapMissing results={(first.chart === null ? first : second).results} />
      ) : (
        <MapPlot
          ref={plot}
          model={model}
          handlers={handlers}
          label={`Compressor maps of candidates ${first.letter} and ${second.letter}, one over the other`}
        />
      )}
    </section>
  );
});

function useBareChart({ chart, letter }: Side): MapChart | null {
  return useMemo(() => {
    if (chart === null) return null;
    const { ratedSpeedLine: rated } = chart;
    const asRead = (pieces: MapChart['surgeLine']) => pieces.filter(({ extended }) => !extended);
    return {
      ...chart,
      letter,
      islands: [],
      speedLines: chart.speedLines.filter(({ kind }) => kind === 'entered').map((line) => ({ ...line, label: '' })),
      surgeLine: asRead(chart.surgeLine),
      chokeEnd: asRead(chart.chokeEnd),
      // Two limits in one drawing: whose is whose must stand with them.
      ratedSpeedLine: rated && { ...rated, label: `${rated.label} (${letter})` },
    };
  }, [chart, letter]);
}

/** Where a candidate stands at the engine speed that is read, with its letter. */
function useReadPlace({ focus, letter }: Side): PlotPlace | null {
  return useMemo(
    () => focus && { id: placeId(letter, 'read'), at: focus, severity: 'note', label: letter, highlighted: false },
    [focus, letter],
  );
}
