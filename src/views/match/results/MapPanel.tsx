import { memo, type RefObject, useEffect, useLayoutEffect, useMemo, useRef } from 'react';
import { assignMap, type Candidate, changeSettings, type Settings } from '../../../build/index.ts';
import {
  exportMapSvg,
  lightPalette,
  MapPlot,
  type MapPlotController,
  type MapPlotModel,
  type MapReadout,
} from '../../../plot/index.ts';
import {
  type CandidateResults,
  pointAt,
  selectActiveBuild,
  useActions,
  useApply,
  useLuglineStore,
  useSettings,
  useShelf,
} from '../../../store/index.ts';
import { sheetFlowUnits } from '../../../units/index.ts';
import { Button } from '../../../widgets/index.ts';
import { usePalette, useResultUnits } from '../../shared/display.ts';
import type { FindingWords } from '../../shared/findingWords.ts';
import { placeOf } from '../../shared/mapDrawing.ts';
import { candidateLetter, isEstimated, mapSheetWords, mapTitle, todayWords } from '../../shared/provenance.ts';
import { DRAWING_SIZE, fileName, SaveDrawing, ToolSelect } from '../../shared/ToolBar.tsx';
import styles from '../match.module.css';
import { EstimateTag } from './CandidateStrip.tsx';
import { useMapModel, useMapOfDay } from './mapModel.ts';
import { ReadOut, type ReadOutHandle, SpeedWalk } from './ReadOut.tsx';
import { readOutDescription, readOutWords } from './readOut.ts';

interface Props {
  results: CandidateResults;
  index: number;
  findings: readonly FindingWords[];
  chosenFindingId: string | null;
  chosenRpm: number | null;
  /** Pointed at on another chart: shown here while it is. */
  pointedRpm: number | null;
  onChooseFinding: (finding: FindingWords | null) => void;
  onChooseSpeed: (engineSpeedRpm: number) => void;
  onHoverSpeed: (engineSpeedRpm: number | null) => void;
}

/** The compressor map of the day with the operating line on it, and the read-out beneath. */
export const MapPanel = memo(function MapPanel(props: Props) {
  const { results, index, findings, chosenFindingId, chosenRpm, onChooseFinding, onChooseSpeed, onHoverSpeed } = props;
  const shownRpm = props.pointedRpm ?? chosenRpm;
  const { flowAxisUnit } = useSettings();
  const palette = usePalette();
  const units = useResultUnits();
  const plot = useRef<MapPlotController>(null);
  const readOut = useRef<ReadOutHandle>(null);
  const pointed = useRef<MapReadout | null>(null);
  const { chart, read } = useMapOfDay(results);
  const { input, points } = results;
  const chosenPoint = useMemo(() => {
    if (shownRpm === null || input === null) return null;
    return points.find((point) => point.engineSpeedRpm === shownRpm) ?? pointAt(input, shownRpm);
  }, [input, points, shownRpm]);
  const focus = useMemo(
    () => (chosenPoint === null ? null : placeOf([chosenPoint], shownRpm)),
    [chosenPoint, shownRpm],
  );
  const model = useMapModel(results, index, chart, findings, chosenFindingId, focus);

  const drawn = useRef(model);
  drawn.current = model;

  const words = (at: MapReadout | null) =>
    readOutWords({ at, read, points, chosenPoint, flowUnit: flowAxisUnit, units });
  const newest = useRef(words);
  newest.current = words;
  // Whatever moved (the line, the day, the choice), the read-out shows the same place with its new numbers.
  useLayoutEffect(() => readOut.current?.show(words(pointed.current)));

  const handlers = useMemo(
    () => ({
      onHover: (at: MapReadout | null) => {
        pointed.current = at;
        // Walked to by keyboard it is chosen: the table follows. Pointing alone chooses nothing.
        if (at?.source === 'keyboard' && at.near !== null) onChooseSpeed(at.near.engineSpeedRpm);
        readOut.current?.show(newest.current(at));
      },
      onEngineSpeed: (near: MapReadout['near']) => onHoverSpeed(near?.engineSpeedRpm ?? null),
      describe: (at: MapReadout) => readOutDescription(newest.current(at), at.source === 'keyboard'),
      onPlace: (id: string) => onChooseFinding(findings.find((finding) => finding.id === id) ?? null),
    }),
    [findings, onChooseFinding, onChooseSpeed, onHoverSpeed],
  );
  useEffect(() => () => onHoverSpeed(null), [onHoverSpeed]);

  const letter = candidateLetter(index);
  const mapName = results.candidate.map?.name ?? '';
  return (
    <>
      <section className={styles.map} aria-label={`Map of candidate ${letter}`}>
        <MapTools candidate={results.candidate} model={drawn} hasMap={model !== null} plot={plot} />
        {model === null ? (
          <MapMissing results={results} />
        ) : (
          <div className={styles.plot}>
            <MapPlot
              ref={plot}
              model={model}
              palette={palette}
              handlers={handlers}
              label={`Compressor map of candidate ${letter}, ${mapName}`}
            />
          </div>
        )}
      </section>
      <div className={styles.read}>
        <ReadOut ref={readOut}>
          <SpeedWalk points={points} chosenRpm={chosenRpm} onChoose={onChooseSpeed} />
        </ReadOut>
      </div>
    </>
  );
});

interface ToolProps {
  candidate: Candidate;
  /** The model drawn last; a reference, since it changes with every keystroke and these tools do not. */
  model: RefObject<MapPlotModel | null>;
  hasMap: boolean;
  plot: RefObject<MapPlotController | null>;
}

/** How the map is shown, and the map as a file. */
export const MapTools = memo(function MapTools({ candidate, model, hasMap, plot }: ToolProps) {
  const map = candidate.map ?? candidate.donor;
  return (
    <div className={styles.tools}>
      <h2 className={styles.barTitle} title={map?.source}>
        {mapTitle(candidate) || 'Map'}
      </h2>
      {isEstimated(candidate) && <EstimateTag />}
      {map?.invented && !/invented/i.test(map.name) && <span className={styles.invented}>invented</span>}
      <span className={styles.spring} />
      <AltitudeChoice />
      <SpeedLabelChoice />
      <FlowUnitChoice />
      <Button isDisabled={!hasMap} label="Show the whole map" onPress={() => plot.current?.resetZoom()}>
        Whole map
      </Button>
      <SaveMap candidates={[candidate]} model={model} hasMap={hasMap} />
    </div>
  );
});

const ALTITUDES = [
  { key: 'today', name: 'This place' },
  { key: 'others', name: 'Other altitudes' },
] as const;

function AltitudeChoice() {
  const apply = useApply();
  const { otherAltitudes } = useSettings();
  return (
    <ToolSelect
      name="Operating lines on the map"
      value={otherAltitudes ? 'others' : 'today'}
      options={ALTITUDES}
      onChange={(key) => apply(changeSettings({ otherAltitudes: key === 'others' }))}
    />
  );
}

const LABELS: readonly { key: Settings['speedLabels']; name: string }[] = [
  { key: 'physical', name: 'Shaft rpm today' },
  { key: 'corrected', name: 'Corrected rpm' },
];

function SpeedLabelChoice() {
  const apply = useApply();
  const { speedLabels } = useSettings();
  return (
    <ToolSelect
      name="Speed lines are labelled in"
      value={speedLabels}
      options={LABELS}
      onChange={(key) => apply(changeSettings({ speedLabels: key }))}
    />
  );
}

function FlowUnitChoice() {
  const apply = useApply();
  const { flowAxisUnit } = useSettings();
  return (
    <ToolSelect
      name="Unit of the flow axis"
      value={flowAxisUnit}
      options={FLOW_UNITS}
      onChange={(key) => apply(changeSettings({ flowAxisUnit: key }))}
    />
  );
}

const FLOW_UNITS = Object.values(sheetFlowUnits).map(({ key, label }) => ({ key, name: label }));

/** In place of the map: why there is none, in words, and the way to mend it. */
export function MapMissing({ results }: { results: CandidateResults }) {
  const { setUi } = useActions();
  const { map, donor } = results.candidate;
  if (map === null && donor !== null) {
    return (
      <div className={styles.noMap}>
        <h3>The donor map cannot be scaled yet</h3>
        <p>{results.problems[0]?.message ?? `“${donor.name}” gives no map for this wheel.`}</p>
        <Button variant="primary" onPress={() => setUi({ openCardId: results.candidate.id })}>
          Open the card
        </Button>
      </div>
    );
  }
  if (map === null) {
    return (
      <div className={styles.noMap}>
        <h3>No map yet</h3>
        <ShelfChoice candidateId={results.candidate.id} />
        <p>A new map is typed or pasted from the maker's sheet in the Maps view.</p>
        <Button onPress={() => setUi({ view: 'maps' })}>Go to the maps</Button>
        <p className={styles.borrow}>Nobody publishes one? Measure the wheel and borrow the map of a similar one.</p>
        <Button onPress={() => setUi({ openCardId: results.candidate.id })}>Measure, and borrow a donor map</Button>
      </div>
    );
  }
  const errors = results.audit.filter(({ severity }) => severity === 'error');
  return (
    <div className={styles.noMap}>
      <h3>This map cannot be used yet</h3>
      <p>“{map.name}” is kept as entered. This stands in the way:</p>
      <ul>
        {errors.slice(0, 6).map(({ code, message }) => (
          <li key={`${code}-${message}`}>{message}</li>
        ))}
        {errors.length > 6 && <li>and {errors.length - 6} more, listed in the Maps view.</li>}
      </ul>
      <Button variant="primary" onPress={() => setUi({ view: 'maps', openMapId: map.id })}>
        Open this map
      </Button>
    </div>
  );
}

/** The maps of the shelf, one press each. */
function ShelfChoice({ candidateId }: { candidateId: string }) {
  const shelf = useShelf();
  const apply = useApply();
  if (shelf.length === 0) return <p>Your shelf is empty so far.</p>;
  return (
    <>
      <p>Choose one from your shelf:</p>
      <ul className={styles.shelf}>
        {shelf.map(({ id, name }) => (
          <li key={id}>
            <Button onPress={() => apply(assignMap(candidateId, id))}>{name.trim() || 'Map without a name'}</Button>
          </li>
        ))}
      </ul>
    </>
  );
}

/** The map as a drawing or a picture, with where it comes from and the cautions on it. Always on white paper. */
export function SaveMap({
  candidates,
  model,
  hasMap,
}: {
  /** Whose map it is; two where one is drawn over the other. */
  candidates: readonly Candidate[];
  model: RefObject<MapPlotModel | null>;
  hasMap: boolean;
}) {
  const store = useLuglineStore();
  const svg = () => {
    if (model.current === null) return null;
    const words = mapSheetWords(candidates, selectActiveBuild(store.getState()), todayWords());
    return exportMapSvg({ ...model.current, focus: null }, { ...words, size: DRAWING_SIZE, palette: lightPalette });
  };
  const what = candidates.some(isEstimated) ? 'map-estimate' : 'map';
  const nameOf = (kind: 'svg' | 'png') => fileName(candidates.map(({ name }) => name).join(' and '), what, kind);
  return <SaveDrawing what="the map" fileName={nameOf} svg={svg} isDisabled={!hasMap} />;
}
