import { changeFuel, setBuildField } from '../../../build/index.ts';
import type { FuelKey } from '../../../engine/index.ts';
import { useApply, useBuildField } from '../../../store/index.ts';
import { findUnit, formatNumber, fromSi, NO_NUMBER, parseQuantity } from '../../../units/index.ts';
import { FUEL_NAMES } from '../../shared/fuelNames.ts';
import { CounterGoal } from './CounterGoal.tsx';
import styles from './counter.module.css';
import { Stepper } from './Stepper.tsx';

/** What a customer asks about, and nothing else: goal, altitude, fuel. No field takes text, so that nothing is typed by accident. */
export function CounterInputs() {
  return (
    <section className={styles.inputs} aria-label="Inputs">
      <AltitudeInput />
      <CounterGoal />
      <FuelInput />
      <p className={styles.hint}>The other inputs stay as they are set in the workshop.</p>
    </section>
  );
}

/** Steps that are round in the unit of the field. */
const STEPS: Readonly<Record<string, { step: number; highest: number }>> = {
  m: { step: 100, highest: 4000 },
  ft: { step: 500, highest: 13_000 },
};

function AltitudeInput() {
  const typed = useBuildField('air.altitude');
  const kind = useBuildField('air.barometer.kind');
  const apply = useApply();
  const { step, highest } = STEPS[typed.unit] ?? STEPS.m!;
  const parsed = parseQuantity(typed.text, 'altitude', typed.unit);
  const value = parsed.ok ? fromSi(parsed.si, 'altitude', typed.unit) : null;
  const label = findUnit('altitude', typed.unit)?.label ?? '';
  const set = (next: number) => {
    const held = Math.min(highest, Math.max(0, next));
    apply(setBuildField('air.altitude', { text: String(Math.round(held)), unit: typed.unit }));
  };
  const words = value === null ? NO_NUMBER : `${formatNumber(value, 0)} ${label}`;
  // From 620 m the next step up is 700 m: round figures are what people ask for.
  const stepped = (way: 1 | -1) =>
    value === null ? 0 : (way > 0 ? Math.floor(value / step) + 1 : Math.ceil(value / step) - 1) * step;
  const isRead = kind === 'read-on-site';
  return (
    <Stepper
      name="Altitude"
      words={words}
      isDisabled={isRead}
      down={value !== null && value > 0 ? () => set(stepped(-1)) : null}
      up={value === null || value < highest ? () => set(stepped(1)) : null}
      note={isRead ? 'The air pressure was read on site: another altitude changes nothing.' : null}
    >
      <input
        type="range"
        className={styles.slider}
        aria-label="Altitude, by dragging"
        aria-valuetext={words}
        min={0}
        max={highest}
        step={step}
        disabled={isRead}
        value={Math.min(Math.max(value ?? 0, 0), highest)}
        onChange={(event) => set(Number(event.target.value))}
      />
    </Stepper>
  );
}

function FuelInput() {
  const fuel = useBuildField('engine.fuel');
  const apply = useApply();
  return (
    <label className={styles.input}>
      <span className={styles.label}>Fuel</span>
      <select
        className={styles.select}
        value={fuel}
        onChange={(event) => apply(changeFuel(event.target.value as FuelKey))}
      >
        {Object.entries(FUEL_NAMES).map(([key, name]) => (
          <option key={key} value={key}>
            {name.charAt(0).toUpperCase() + name.slice(1)}
          </option>
        ))}
      </select>
    </label>
  );
}
