import { memo, useMemo, useState } from 'react';
import type { Build } from '../../build/index.ts';
import { nearestIndex } from '../../numerics/index.ts';
import { LineChart, MapPlot, type MapPlotModel } from '../../plot/index.ts';
import { type AltitudeStudy, type CandidateStudy, useCandidateResults, useSettings } from '../../store/index.ts';
import { formatNumber, rpmText } from '../../units/index.ts';
import { Sentences } from '../../widgets/index.ts';
import {
  altitudeFromValue,
  altitudeText,
  altitudeUnit,
  altitudeValue,
  goalWords,
  heldVerdict,
} from '../shared/altitudeStudies.ts';
import { candidateLetter, useResultUnits } from '../shared/display.ts';
import { ToolSelect } from '../shared/ToolBar.tsx';
import styles from './altitude.module.css';
import { controllerCharts, controllerWords } from './model/controllers.ts';
import {
  altitudeMapChart,
  altitudeMapLines,
  type HeldQuantity,
  heldOverAltitude,
  heldQuantities,
  rpmOfSeries,
  speedFactorAt,
  thresholdOverAltitude,
  thresholdWords,
} from './model/heldGoalCharts.ts';
import { isAnyDriven, isDriven, nearestPlace, roundSpeeds, usePointed, usualSpeeds } from './model/pointed.ts';

/** 'Hold this goal: how high can this car drive before a limit is crossed', for every candidate. */
export const HeldPanel = memo(function HeldPanel({ result }: { result: AltitudeStudy }) {
  const { build, candidates } = result;
  return (
    <section className={styles.held} aria-labelledby="held-title">
      <h2 id="held-title">Hold this goal ({goalWords(build)}): how high can this car drive?</h2>
      <div className={styles.verdicts}>
        {candidates.map((study, index) => {
          const letter = candidateLetter(index);
          const verdict = study && heldVerdict(build, study);
          const threshold = study && thresholdWords(build, study);
          return (
            <article
              key={build.candidates[index]?.id ?? letter}
              className={styles.verdict}
              data-tone={verdict?.tone ?? 'none'}
            >
              <h3>
                {letter}: {build.candidates[index]?.name}
              </h3>
              {verdict === null ? (
                <p>Its inputs are not complete; see the Match view.</p>
              ) : (
                <>
                  <p className={styles.headline}>{verdict.headline}</p>
                  <ul>
                    <Sentences of={verdict.details} />
                    {threshold !== null && <li>{threshold}</li>}
                  </ul>
                </>
              )}
            </article>
          );
        })}
      </div>
    </section>
  );
});

/** Shaft speed, or a margin, over altitude while the goal is held, for every candidate, against its limit. */
export const ShaftPanel = memo(function ShaftPanel({ result }: { result: AltitudeStudy }) {
  const units = useResultUnits();
  const [chosen, setChosen] = useState<HeldQuantity | 'threshold'>('shaftSpeedRpm');
  const [pointed, point] = usePointed();
  const { build, candidates } = result;
  const offers = useMemo(() => {
    const hasTurbine = isAnyDriven(candidates);
    return [...heldQuantities(hasTurbine, units), ...(hasTurbine ? [THRESHOLD] : [])];
  }, [candidates, units]);
  // A turbine that is taken away takes its quantities with it.
  const quantity = offers.some(({ key }) => key === chosen) ? chosen : 'shaftSpeedRpm';
  const speeds = candidates.find((study) => study !== null)?.held.engineSpeedsRpm ?? [];
  const isThreshold = quantity === 'threshold';
  const offered = roundSpeeds(speeds);
  const [wanted, setWanted] = useState<readonly number[] | null>(null);
  const kept = (wanted ?? usualSpeeds(speeds)).filter((rpm) => offered.includes(rpm));
  const chosenKey = kept.join(' ');
  const chart = useMemo(
    () =>
      quantity === 'threshold'
        ? thresholdOverAltitude(build, candidates)
        : heldOverAltitude(
            build,
            candidates,
            chosenKey === '' ? [] : chosenKey.split(' ').map(Number),
            quantity,
            units,
          ),
    [build, candidates, chosenKey, quantity, units],
  );
  const unit = altitudeUnit(build);
  const focusX = pointed.altitudeM === null ? null : altitudeValue(pointed.altitudeM, unit);
  const model = useMemo(() => ({ ...chart, focusX, focusSeriesId: null }), [chart, focusX]);
  return (
    <section className={styles.panel} aria-label="Over altitude, with the goal held">
      <div className={styles.bar}>
        <h2>Over altitude, with the goal held:</h2>
        <ToolSelect name="What is shown over altitude" value={quantity} options={offers} onChange={setChosen} />
      </div>
      {isThreshold ? (
        <p className={styles.chips}>
          Under it the exhaust does not drive the goal. No line: it lies outside the engine speeds.
        </p>
      ) : (
        <SpeedChips offered={offered} kept={kept} onKeep={setWanted} />
      )}
      <div className={styles.chart}>
        <LineChart
          model={model}
          label={`${chart.valueAxis.title} over altitude with the goal held, each candidate${isThreshold ? '' : ', against its limit'}`}
          handlers={{
            onPoint: (at) => {
              if (at === null) return;
              const rpm = rpmOfSeries(at.seriesId, kept, candidates.length);
              point({ altitudeM: altitudeFromValue(at.x, unit), ...(rpm !== null && { engineSpeedRpm: rpm }) });
            },
          }}
        />
      </div>
    </section>
  );
});

const THRESHOLD = { key: 'threshold' as const, name: 'Boost threshold' };

/** Which engine speeds are drawn, as boxes to tick. */
function SpeedChips({
  offered,
  kept,
  onKeep,
}: {
  offered: readonly number[];
  kept: readonly number[];
  onKeep: (speeds: readonly number[]) => void;
}) {
  const toggle = (rpm: number, on: boolean) =>
    onKeep(on ? [...kept, rpm].toSorted((a, b) => a - b) : kept.filter((other) => other !== rpm));
  return (
    <fieldset className={styles.chips} aria-label="Engine speeds shown, rpm">
      <span aria-hidden="true">At</span>
      {offered.map((rpm) => (
        <label key={rpm} className={styles.chip}>
          <input type="checkbox" checked={kept.includes(rpm)} onChange={(event) => toggle(rpm, event.target.checked)} />
          {formatNumber(rpm, 0)}
        </label>
      ))}
      <span aria-hidden="true">rpm</span>
    </fieldset>
  );
}

interface Props {
  build: Build;
  study: CandidateStudy;
  index: number;
}

/** The compressor map with the goal held at the altitude that is pointed at. */
export const MapPanel = memo(function MapPanel({ build, study, index }: Props) {
  const results = useCandidateResults(index);
  const { flowAxisUnit } = useSettings();
  const [pointed, point] = usePointed();
  const { held } = study;
  const altitudeM = pointed.altitudeM ?? held.places.at(-1)?.altitudeM ?? 0;
  const row = nearestPlace(held.places, altitudeM);
  const factor = speedFactorAt(study, row);
  const { shaftSpeedRpm } = held.limits;
  const { surface = null, sheet = null } = results ?? {};
  const several = (results?.input?.turboCount ?? 1) > 1 || undefined;
  // The same object while it shows the same, whatever else a new study says: then the map is not drawn again.
  const chart = useMemo(() => {
    if (surface === null || sheet === null) return null;
    const limit = shaftSpeedRpm === undefined || factor === null ? null : { shaftSpeedRpm, factor };
    return altitudeMapChart(surface, sheet, limit, { flowUnit: flowAxisUnit, several });
  }, [surface, sheet, shaftSpeedRpm, factor, flowAxisUnit, several]);
  const operatingLines = useMemo(
    () => altitudeMapLines(build, study, index, altitudeM),
    [build, study, index, altitudeM],
  );
  const { engineSpeedRpm } = pointed;
  const model = useMemo((): MapPlotModel | null => {
    if (chart === null) return null;
    const column = engineSpeedRpm === null ? -1 : nearestIndex(held.engineSpeedsRpm, engineSpeedRpm);
    const at = held.cells[row]?.[column]?.point;
    return { chart, operatingLines, places: NONE, focus: at?.status === 'ok' ? at : null, wordsElsewhere: true };
  }, [chart, operatingLines, held, row, engineSpeedRpm]);
  const letter = candidateLetter(index);
  const altitude = altitudeText(held.places[row]?.altitudeM ?? null, altitudeUnit(build));
  return (
    <section className={styles.panel} aria-label={`Map of candidate ${letter} over altitude`}>
      <h2>
        Map of {letter} with the goal held at {altitude} <small>engine and corrected shaft speeds, rpm</small>
      </h2>
      <div className={styles.map}>
        {model !== null && (
          <MapPlot
            model={model}
            label={`Compressor map of candidate ${letter} with the goal held at ${altitude}`}
            handlers={{ onEngineSpeed: (near) => near && point({ engineSpeedRpm: near.engineSpeedRpm }) }}
          />
        )}
      </div>
    </section>
  );
});

const NONE: MapPlotModel['places'] = [];

/** What a controller that holds gauge pressure and one that holds absolute pressure do with the same target, drawn and said. */
export const ControllersPanel = memo(function ControllersPanel({ build, study, index }: Props) {
  const units = useResultUnits();
  const [pointed, point] = usePointed();
  const { controllers } = study;
  const speeds = controllers.engineSpeedsRpm;
  const rpm = speeds[nearestIndex(speeds, pointed.engineSpeedRpm ?? Number.POSITIVE_INFINITY)] ?? speeds.at(-1);
  const charts = useMemo(
    () => (rpm === undefined ? [] : controllerCharts(build, controllers, rpm, units)),
    [build, controllers, rpm, units],
  );
  const words = useMemo(
    () => (rpm === undefined ? [] : controllerWords(build, controllers, rpm, units)),
    [build, controllers, rpm, units],
  );
  const unit = altitudeUnit(build);
  const focusX = pointed.altitudeM === null ? null : altitudeValue(pointed.altitudeM, unit);
  return (
    <section className={styles.controllers} aria-label="Gauge or absolute pressure">
      <h2>
        Does the controller hold gauge or absolute pressure? {candidateLetter(index)} at{' '}
        {rpm === undefined ? 'no engine speed' : rpmText(rpm)}
      </h2>
      <div className={styles.words} data-driven={isDriven({ held: controllers.gauge }) || undefined}>
        {words.map(({ title, sentences }) => (
          <div key={title}>
            <h3>{title}</h3>
            <Sentences as="p" of={sentences} />
          </div>
        ))}
      </div>
      <div className={styles.trio}>
        {charts.map(({ key, label, model }) => (
          <div key={key} className={styles.small}>
            <LineChart
              model={{ ...model, focusX, focusSeriesId: null }}
              label={label}
              handlers={{ onPoint: (at) => at && point({ altitudeM: altitudeFromValue(at.x, unit) }) }}
            />
          </div>
        ))}
      </div>
    </section>
  );
});
