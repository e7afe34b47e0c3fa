import { memo, useEffect, useLayoutEffect, useMemo, useRef } from 'react';
import { MapPlot, type MapPlotActions, type MapReadout } from '../../../plot/index.ts';
import { type CandidateResults, pointAt, useSettings } from '../../../store/index.ts';
import { candidateLetter } from '../../shared/candidateLetter.ts';
import type { FindingWords } from '../../shared/findingWords.ts';
import { usePalette } from '../../shared/usePalette.ts';
import styles from '../match.module.css';
import { placeOf } from '../model/mapPlaces.ts';
import { readOutDescription, readOutWords } from '../model/readOutWords.ts';
import { MapMissing } from './MapMissing.tsx';
import { MapTools } from './MapTools.tsx';
import { ReadOut, type ReadOutHandle } from './ReadOut.tsx';
import { SpeedWalk } from './SpeedWalk.tsx';
import { useMapModel, useMapOfDay } from './useMapModel.ts';

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
  const plot = useRef<MapPlotActions>(null);
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

  const words = (at: MapReadout | null) => readOutWords({ at, read, points, chosenPoint, flowUnit: flowAxisUnit });
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
