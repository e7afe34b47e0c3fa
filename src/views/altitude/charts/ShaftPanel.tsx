import { memo, useMemo, useState } from 'react';
import { LineChart } from '../../../plot/index.ts';
import type { AltitudeStudy } from '../../../store/index.ts';
import { formatNumber } from '../../../units/index.ts';
import { altitudeFromValue, altitudeUnit, altitudeValue } from '../../shared/altitudeStudies.ts';
import { usePalette, useResultUnits } from '../../shared/display.ts';
import { ToolSelect } from '../../shared/ToolBar.tsx';
import styles from '../altitude.module.css';
import { isAnyDriven } from '../model/driven.ts';
import { type HeldQuantity, heldOverAltitude, heldQuantities } from '../model/heldOverAltitude.ts';
import { roundSpeeds, usualSpeeds } from '../model/roundSpeeds.ts';
import { thresholdOverAltitude } from '../model/thresholdOverAltitude.ts';
import { usePointed } from '../usePointed.ts';

/** Shaft speed, or a margin, over altitude while the goal is held, for every candidate, against its limit. */
export const ShaftPanel = memo(function ShaftPanel({ result }: { result: AltitudeStudy }) {
  const palette = usePalette();
  const units = useResultUnits();
  const [chosen, setChosen] = useState<HeldQuantity | 'threshold'>('shaft');
  const [pointed, point] = usePointed();
  const { build, candidates } = result;
  const offers = useMemo(() => {
    const hasTurbine = isAnyDriven(candidates);
    return [...heldQuantities(hasTurbine), ...(hasTurbine ? [THRESHOLD] : [])];
  }, [candidates]);
  // A turbine that is taken away takes its quantities with it.
  const quantity = offers.some(({ key }) => key === chosen) ? chosen : 'shaft';
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
          palette={palette}
          label={`${chart.valueAxis.title} over altitude with the goal held, each candidate${isThreshold ? '' : ', against its limit'}`}
          keys="Left and right arrow read altitude by altitude."
          handlers={{
            onPoint: (at) => {
              if (at === null) return;
              const rpm = Number(at.seriesId.split('-')[1]);
              point({
                altitudeM: altitudeFromValue(at.x, unit),
                ...(Number.isFinite(rpm) && { engineSpeedRpm: rpm }),
              });
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
