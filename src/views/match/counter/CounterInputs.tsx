import { useRef } from 'react';
import { changeFuel, fieldAt, setBuildField, setCurve, type TypedCurve } from '../../../build/index.ts';
import { FUELS, type FuelKey } from '../../../engine/index.ts';
import type { GoalKind } from '../../../match/index.ts';
import { useApply, useBuildField } from '../../../store/index.ts';
import {
  capital,
  findUnit,
  formatNumber,
  fromSi,
  NO_BREAK_SPACE,
  NO_NUMBER,
  parseQuantity,
  plainNumber,
  type QuantityKey,
  unitOf,
} from '../../../units/index.ts';
import { Icon } from '../../../widgets/index.ts';
import styles from './counter.module.css';

/** What a customer asks about, and nothing else: goal, altitude, fuel. No field takes text, so that nothing is typed by accident. */
export function CounterInputs() {
  return (
    <section className={styles.inputs} aria-label="Inputs">
      <AltitudeInput />
      <CounterGoal />
      <FuelInput />
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
    />
  );
}

function FuelInput() {
  const fuel = useBuildField('engine.fuel');
  const apply = useApply();
  return (
    <label className="block narrow">
      <span className="block clip soft">Fuel</span>
      <select
        className={styles.select}
        value={fuel}
        onChange={(event) => apply(changeFuel(event.target.value as FuelKey))}
      >
        {Object.values(FUELS).map(({ key, name }) => (
          <option key={key} value={key}>
            {capital(name)}
          </option>
        ))}
      </select>
    </label>
  );
}

const NAMES: Readonly<Record<GoalKind, string>> = {
  'gauge-boost': 'Boost, at its peak',
  'manifold-pressure': 'Manifold pressure, at its peak',
  'brake-power': 'Power at the crankshaft, at its peak',
  'wheel-power': 'Power at the wheels, at its peak',
};

/** The whole curve of the goal raised or lowered in proportion, by its peak. As many steps back give the very texts that stood there. */
function CounterGoal() {
  const kind = useBuildField('goal.kind');
  return <GoalOfKind key={kind} kind={kind} />;
}

function GoalOfKind({ kind }: { kind: GoalKind }) {
  const path = `goal.curves.${kind}` as const;
  const curve = useBuildField(path);
  const apply = useApply();
  // What the steps are counted from: the curve as it was entered. A curve that was changed otherwise, by undo for one, is a new start.
  const counted = useRef<{ from: TypedCurve; steps: number; rows: TypedCurve['rows'] } | null>(null);
  const { quantity, high } = fieldAt(path);
  const peak = goalPeak(curve, quantity);
  const size = goalStep(quantity, curve.unit);
  const step = (way: 1 | -1) => {
    const start = counted.current?.rows === curve.rows ? counted.current : { from: curve, steps: 0, rows: curve.rows };
    const steps = start.steps + way;
    const rows = steppedGoal(start.from, quantity, steps);
    counted.current = { from: start.from, steps, rows };
    apply(setCurve(path, rows));
  };
  const highest = fromSi(high, quantity, curve.unit);
  return (
    <Stepper
      name={NAMES[kind]}
      words={goalWords(peak, quantity, curve.unit)}
      down={peak !== null && peak - size > 0 ? () => step(-1) : null}
      up={peak !== null && peak + size <= highest ? () => step(1) : null}
    />
  );
}

interface Props {
  name: string;
  /** The value with its unit. */
  words: string;
  /** null: as far as it goes. */
  down: (() => void) | null;
  up: (() => void) | null;
  isDisabled?: boolean;
  note?: string | null;
}

/** A value with a large button on either side: no text to enter, and no step that cannot be seen. */
function Stepper({ name, words, down, up, isDisabled = false, note = null }: Props) {
  return (
    <fieldset className="block narrow" aria-label={name}>
      <span className="block clip soft" aria-hidden="true">
        {name}
      </span>
      <div className={styles.stepper}>
        <button
          type="button"
          className={styles.step}
          aria-label={`${name}: less`}
          disabled={isDisabled || down === null}
          onClick={() => down?.()}
        >
          <Icon name="minus" />
        </button>
        <output className="strong nowrap ui-centre">{words}</output>
        <button
          type="button"
          className={styles.step}
          aria-label={`${name}: more`}
          disabled={isDisabled || up === null}
          onClick={() => up?.()}
        >
          <Icon name="plus" />
        </button>
      </div>
      {note !== null && <p className="soft">{note}</p>}
    </fieldset>
  );
}

/** One step in the unit of the curve: a round figure of about a twentieth of what such a goal usually is. */
const GOAL_STEPS: Readonly<Record<string, number>> = { bar: 0.05, kPa: 5, psi: 1, mbar: 50, kW: 5, PS: 5, hp: 5 };

function goalStep(quantity: QuantityKey, unit: string): number {
  return GOAL_STEPS[unit] ?? unitOf(quantity, unit).step;
}

function readValue(text: string, quantity: QuantityKey, unit: string): number | null {
  const parsed = parseQuantity(text, quantity, unit);
  return parsed.ok ? parsed.value : null;
}

/** The highest value of the curve in its own unit; null where none can be read. */
export function goalPeak(curve: TypedCurve, quantity: QuantityKey): number | null {
  const values = curve.rows.flatMap((row) => readValue(row.value, quantity, curve.unit) ?? []);
  return values.length === 0 ? null : Math.max(...values);
}

/** The peak as it is shown: '1.40 bar'. */
export function goalWords(peak: number | null, quantity: QuantityKey, unit: string): string {
  if (peak === null) return NO_NUMBER;
  const { label } = unitOf(quantity, unit);
  const size = goalStep(quantity, unit);
  return `${formatNumber(peak, size < 0.1 ? 2 : size < 1 ? 1 : 0)}${NO_BREAK_SPACE}${label}`;
}

/**
 * The rows of the curve with its peak so many steps higher, every value in proportion; a text that cannot be read stays as it is.
 * @returns the curve's own rows for no step, and where there is no peak to count from
 */
export function steppedGoal(curve: TypedCurve, quantity: QuantityKey, steps: number): TypedCurve['rows'] {
  const peak = goalPeak(curve, quantity);
  if (steps === 0 || peak === null || !(peak > 0)) return curve.rows;
  const factor = (peak + steps * goalStep(quantity, curve.unit)) / peak;
  return curve.rows.map((row) => {
    const value = readValue(row.value, quantity, curve.unit);
    return value === null ? row : { ...row, value: plainNumber(value * factor, 4) };
  });
}
