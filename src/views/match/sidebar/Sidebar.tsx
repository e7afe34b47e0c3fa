import { memo } from 'react';
import { changeFuel, setBuildField } from '../../../build/index.ts';
import { selectDayAir, selectShownCandidate, useApply, useBuildField, useLugline } from '../../../store/index.ts';
import { findUnit, formatNumber, fromSi, parseQuantity } from '../../../units/index.ts';
import { SelectField, TextLine } from '../../../widgets/index.ts';
import { BoundChoice } from '../../shared/BoundChoice.tsx';
import { BoundQuantity } from '../../shared/BoundQuantity.tsx';
import { BoundSwitch } from '../../shared/BoundSwitch.tsx';
import { LimitFields } from '../../shared/LimitFields.tsx';
import viewStyles from '../match.module.css';
import {
  airReadings,
  airSummary,
  chargePathSummary,
  engineSpeedsSummary,
  engineSummary,
  fuelSupplySummary,
  goalSummary,
  inletSummary,
  limitsSummary,
  notesSummary,
} from '../model/inputSummaries.ts';
import { CandidateGroup } from './CandidateGroup.tsx';
import { CurveEditor, EngineCurves } from './CurveEditor.tsx';
import { ExhaustGroup } from './ExhaustGroup.tsx';
import { InputGroup } from './InputGroup.tsx';
import styles from './sidebar.module.css';

/** All inputs, in the order in which they are asked for at the counter. Every field draws again by itself. */
export const Sidebar = memo(function Sidebar() {
  const shown = useLugline(selectShownCandidate);
  return (
    <aside className={viewStyles.sidebar} aria-label="Inputs">
      <AirGroup />
      <GoalGroup />
      {shown !== null && <CandidateGroup key={shown} index={shown} />}
      <EngineGroup />
      <ChargePathGroup />
      <InletGroup />
      <ExhaustGroup />
      <FuelSupplyGroup />
      <LimitsGroup />
      <EngineSpeedsGroup />
      <NotesGroup />
    </aside>
  );
});

const BAROMETERS = [
  { key: 'standard', name: 'Standard atmosphere' },
  { key: 'read-on-site', name: 'Barometer read on site' },
  { key: 'weather-report', name: 'Weather report (sea level)' },
] as const;

/** The place and its air, altitude first: that is what the customer asks about. What comes of it stands right beneath. */
export function AirGroup() {
  return (
    <InputGroup title="Place and air" summary={airSummary} openAtFirst>
      <BoundQuantity label="Altitude" path="air.altitude" />
      <AltitudeSlider />
      <BoundChoice stacked label="Pressure from" path="air.barometer.kind" options={BAROMETERS} />
      <BarometerField />
      <BoundQuantity label="Air temperature" path="air.temperature" />
      <BoundQuantity label="Relative humidity" path="air.relativeHumidity" />
      <AirReadings />
    </InputGroup>
  );
}

function BarometerField() {
  const kind = useBuildField('air.barometer.kind');
  if (kind === 'standard') return null;
  return (
    <BoundQuantity
      label={kind === 'read-on-site' ? 'Pressure on site' : 'Reported pressure'}
      path="air.barometer.pressure"
    />
  );
}

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

/** What the air inputs come to, at once: pressure at the place, density, moisture; and what is doubtful about them. */
export function AirReadings() {
  const reading = useLugline(selectDayAir);
  const kind = useBuildField('air.barometer.kind');
  const { unit } = useBuildField('air.barometer.pressure');
  const rows = airReadings(reading, unit, kind);
  return (
    <>
      <dl className={styles.readings} aria-label="Air at the engine">
        {rows.map(({ title, value }) => (
          <div key={title} className={styles.reading}>
            <dt>{title}</dt>
            <dd>{value}</dd>
          </div>
        ))}
      </dl>
      {reading.notes.map(({ message }) => (
        <p key={message} className={styles.warning} role="status">
          {message}
        </p>
      ))}
      {reading.problems.map(({ path, message }) => (
        <p key={path} className={styles.trouble} role="status">
          {message}
        </p>
      ))}
    </>
  );
}

const GOALS = [
  { key: 'gauge-boost', name: 'Gauge boost' },
  { key: 'manifold-pressure', name: 'Manifold pressure, absolute' },
  { key: 'brake-power', name: 'Power at the crankshaft' },
  { key: 'wheel-power', name: 'Power at the wheels' },
] as const;

const NOTES: Readonly<Record<(typeof GOALS)[number]['key'], string>> = {
  'gauge-boost': 'Held over the ambient of the day: the manifold pressure falls with altitude.',
  'manifold-pressure': 'Held whatever the ambient: the compressor works harder with altitude.',
  'brake-power': 'The boost that gives this power is found at every engine speed.',
  'wheel-power': 'The boost that gives this power is found at every engine speed.',
};

/** What the engine is asked for, over engine speed. Every kind keeps its own curve. */
export function GoalGroup() {
  const kind = useBuildField('goal.kind');
  return (
    <InputGroup title="Goal" summary={goalSummary} openAtFirst>
      <BoundChoice stacked label="Goal over engine speed" path="goal.kind" options={GOALS} />
      <p className={styles.note}>{NOTES[kind]}</p>
      <CurveEditor
        key={kind}
        path={`goal.curves.${kind}`}
        title={GOALS.find((goal) => goal.key === kind)?.name ?? ''}
      />
    </InputGroup>
  );
}

const FUELS = [
  { key: 'petrol', name: 'Petrol' },
  { key: 'e10', name: 'Petrol E10' },
  { key: 'e85', name: 'E85' },
  { key: 'ethanol', name: 'Ethanol' },
  { key: 'methanol', name: 'Methanol' },
  { key: 'diesel', name: 'Diesel' },
  { key: 'natural-gas', name: 'Natural gas' },
] as const;

const INJECTION = [
  { key: 'direct', name: 'Direct, into the cylinder' },
  { key: 'port', name: 'Port, ahead of the valve' },
] as const;

const STROKES = [
  { key: 4, name: 'Four-stroke' },
  { key: 2, name: 'Two-stroke' },
] as const;

/** The fuel; another one takes the consumption with it, which has to be said where it is chosen. */
function FuelChoice() {
  const fuel = useBuildField('engine.fuel');
  const apply = useApply();
  return (
    <SelectField
      label="Fuel"
      value={fuel}
      options={FUELS}
      help="Another fuel scales the bsfc curve by heating value: the same share of the heat becomes work."
      onChange={(chosen) => apply(changeFuel(chosen))}
    />
  );
}

/** The engine as a breathing and burning machine. */
export function EngineGroup() {
  return (
    <InputGroup title="Engine" summary={engineSummary}>
      <BoundQuantity label="Displacement" path="engine.displacement" />
      <BoundQuantity label="Cylinders" path="engine.cylinders" />
      <BoundChoice label="Working cycle" path="engine.strokesPerCycle" options={STROKES} />
      <BoundQuantity label="Compression ratio" path="engine.compressionRatio" />
      <BoundChoice stacked label="Injection" path="engine.injection" options={INJECTION} />
      <FuelChoice />
      <BoundQuantity label="Driveline loss" path="engine.drivelineLoss" />
      <EngineCurves />
    </InputGroup>
  );
}

const COOLERS = [
  { key: 'air', name: 'Air to air' },
  { key: 'water', name: 'Air to water' },
  { key: 'none', name: 'No cooler' },
] as const;

/** From the compressor outlet to the manifold. */
export function ChargePathGroup() {
  return (
    <InputGroup title="Charge path and cooler" summary={chargePathSummary}>
      <BoundQuantity label="Pressure loss" path="chargePath.loss" />
      <BoundQuantity label="… at air flow" path="chargePath.atFlow" />
      <BoundQuantity label="… at air density" path="chargePath.atDensity" />
      <BoundChoice label="Charge cooler" path="chargePath.cooler.kind" options={COOLERS} />
      <CoolerFields />
    </InputGroup>
  );
}

function CoolerFields() {
  const kind = useBuildField('chargePath.cooler.kind');
  const falling = useBuildField('chargePath.cooler.falling');
  if (kind === 'none') return null;
  return (
    <>
      <BoundQuantity label="Effectiveness" path="chargePath.cooler.effectiveness" />
      <BoundSwitch label="Falls with flow" path="chargePath.cooler.falling" />
      {falling && (
        <>
          <BoundQuantity label="… entered at flow" path="chargePath.cooler.atLowFlow" />
          <BoundQuantity label="Effectiveness there" path="chargePath.cooler.effectivenessAtHighFlow" />
          <BoundQuantity label="… at high flow" path="chargePath.cooler.atHighFlow" />
        </>
      )}
      {kind === 'air' ? (
        <BoundQuantity label="Air is warmer than ambient by" path="chargePath.cooler.recovery" />
      ) : (
        <BoundQuantity label="Water temperature" path="chargePath.cooler.waterTemperature" />
      )}
    </>
  );
}

/** Filter and duct ahead of the compressor. */
export function InletGroup() {
  return (
    <InputGroup title="Inlet" summary={inletSummary}>
      <BoundQuantity label="Pressure loss" path="inletPath.loss" />
      <BoundQuantity label="… at air flow" path="inletPath.atFlow" />
      <BoundQuantity label="… at air density" path="inletPath.atDensity" />
      <BoundQuantity label="Heating on the way in" path="inletPath.heating" />
    </InputGroup>
  );
}

const REFERENCES = [
  { key: 'manifold', name: 'Over manifold pressure' },
  { key: 'ambient', name: 'Over ambient pressure' },
] as const;

/** Injectors and pump, checked only where the shop wants it. */
export function FuelSupplyGroup() {
  const checked = useBuildField('fuelSupply.checked');
  return (
    <InputGroup title="Fuel supply" summary={fuelSupplySummary}>
      <BoundSwitch label="Check injectors and pump" path="fuelSupply.checked" />
      {checked && (
        <>
          <BoundQuantity label="Injectors" path="fuelSupply.injectorCount" />
          <BoundQuantity label="Flow of one injector" path="fuelSupply.injectorFlow" />
          <BoundQuantity label="… rated at" path="fuelSupply.injectorRatedPressure" />
          <BoundQuantity label="Rail pressure" path="fuelSupply.railPressure" />
          <BoundChoice stacked label="Rail pressure is" path="fuelSupply.railReference" options={REFERENCES} />
          <BoundQuantity label="Duty limit" path="fuelSupply.dutyLimit" />
          <BoundQuantity label="Pump flow at that pressure" path="fuelSupply.pumpFlow" />
        </>
      )}
    </InputGroup>
  );
}

/** What the shop keeps in hand. */
export function LimitsGroup() {
  return (
    <InputGroup title="Limits" summary={limitsSummary}>
      <LimitFields />
    </InputGroup>
  );
}

/** The engine speeds that are computed. */
export function EngineSpeedsGroup() {
  return (
    <InputGroup title="Engine speeds" summary={engineSpeedsSummary}>
      <BoundQuantity label="From" path="engineSpeeds.from" />
      <BoundQuantity label="To" path="engineSpeeds.to" />
      <BoundQuantity label="In steps of" path="engineSpeeds.step" />
    </InputGroup>
  );
}

/** Customer, plate, job number, whatever the shop writes. */
export function NotesGroup() {
  const notes = useBuildField('notes');
  const apply = useApply();
  return (
    <InputGroup title="Notes" summary={notesSummary}>
      <TextLine
        label="Customer, plate, job, remarks"
        value={notes}
        rows={5}
        stacked
        onChange={(text) => apply(setBuildField('notes', text))}
      />
    </InputGroup>
  );
}
