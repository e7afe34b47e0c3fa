import { setBuildField } from '../../../build/index.ts';
import { useApply, useBuildField } from '../../../store/index.ts';
import { findUnit, formatNumber, fromSi, parseQuantity } from '../../../units/index.ts';
import styles from './sidebar.module.css';

const HIGHEST_M = 4000;
/** Steps that are round in the unit that the field shows. */
const STEPS: Readonly<Record<string, { step: number; highest: number }>> = {
  m: { step: 50, highest: HIGHEST_M },
  ft: { step: 200, highest: 13_000 },
};

/** The altitude by dragging, from sea level up the mountain, in the unit of the field above. What was typed beyond its ends stays typed. */
export function AltitudeSlider() {
  const typed = useBuildField('air.altitude');
  const apply = useApply();
  const { step, highest } = STEPS[typed.unit] ?? STEPS.m!;
  const parsed = parseQuantity(typed.text, 'altitude', typed.unit);
  const value = parsed.ok ? fromSi(parsed.si, 'altitude', typed.unit) : 0;
  const label = findUnit('altitude', typed.unit)?.label ?? '';
  return (
    <div className={styles.slider}>
      <input
        type="range"
        aria-label="Altitude, by dragging"
        aria-valuetext={`${formatNumber(value, 0)} ${label}`}
        min={0}
        max={highest}
        step={step}
        value={Math.min(Math.max(value, 0), highest)}
        onChange={(event) => apply(setBuildField('air.altitude', { text: event.target.value, unit: typed.unit }))}
      />
      <span className={styles.sliderEnds} aria-hidden="true">
        <span>0</span>
        <span>
          {formatNumber(highest, 0)} {label}
        </span>
      </span>
    </div>
  );
}
