import { memo } from 'react';
import type { OperatingPoint } from '../../../match/index.ts';
import { formatNumber } from '../../../units/index.ts';
import styles from './readOut.module.css';

const STEP_RPM = 50;

/** Walks along the operating line to any engine speed, also between the computed ones. */
export const SpeedWalk = memo(function SpeedWalk({
  points,
  chosenRpm,
  onChoose,
}: {
  points: readonly OperatingPoint[];
  chosenRpm: number | null;
  onChoose: (engineSpeedRpm: number) => void;
}) {
  const first = points[0]?.engineSpeedRpm;
  const last = points.at(-1)?.engineSpeedRpm;
  if (first === undefined || last === undefined || first === last) return <span className={styles.walk} />;
  const value = Math.min(Math.max(chosenRpm ?? first, first), last);
  return (
    <label className={styles.walk}>
      Engine speed
      <input
        type="range"
        min={first}
        max={last}
        step={STEP_RPM}
        value={value}
        aria-valuetext={`${formatNumber(value, 0)} rpm`}
        onChange={(event) => onChoose(Number(event.target.value))}
      />
    </label>
  );
});
