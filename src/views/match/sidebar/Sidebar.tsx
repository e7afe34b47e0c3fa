import { memo, Suspense, useEffect, useMemo, useRef } from 'react';
import { type Build, changeFuel, setBuildField } from '../../../build/index.ts';
import {
  selectCandidateResults,
  selectCandidates,
  selectDayAir,
  selectShownCandidate,
  useApply,
  useBuildField,
  useLugline,
  useSettings,
} from '../../../store/index.ts';
import { findUnit, formatNumber, fromSi, parseQuantity } from '../../../units/index.ts';
import { Button, Terms } from '../../../widgets/index.ts';
import { useResultUnits } from '../../shared/display.ts';
import { Field, FieldMessages, FieldsOf } from '../../shared/Field.tsx';
import { sentenceOf } from '../../shared/findingSentences.ts';
import { CurveTable } from '../lateParts.ts';
import viewStyles from '../match.module.css';
import {
  airReadings,
  airSummary,
  chargePathSummary,
  engineSpeedsSummary,
  engineSummary,
  exhaustSummary,
  fuelSupplySummary,
  goalSummary,
  inletSummary,
  inletTemperatureWords,
  limitsSummary,
  notesSummary,
} from '../model/inputSummaries.ts';
import { CandidateGroup, InputGroup } from './CandidateGroup.tsx';
import { CurveEditor, EngineCurves, TypedCurveChart } from './CurveEditor.tsx';
import styles from './sidebar.module.css';

/** All inputs, in the order in which they are asked for at the counter. Every field draws again by itself. */
export const Sidebar = memo(function Sidebar({ isSheetOpen, onClose }: { isSheetOpen: boolean; onClose: () => void }) {
  const shown = useLugline(selectShownCandidate);
  const box = useRef<HTMLElement>(null);
  useEffect(() => {
    if (!isSheetOpen) return;
    const before = document.activeElement;
    box.current?.querySelector<HTMLElement>('button')?.focus();
    return () => {
      if (before instanceof HTMLElement) before.focus();
    };
  }, [isSheetOpen]);
  return (
    <aside
      ref={box}
      className={viewStyles.sidebar}
      aria-label="Inputs"
      onKeyDown={(event) => {
        if (isSheetOpen && event.key === 'Escape' && !event.defaultPrevented) onClose();
      }}
    >
      <Button className={viewStyles.closeInputs} icon="cross" onPress={onClose}>
        Back to the results
      </Button>
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

/** The place and its air, altitude first: that is what the customer asks about. What comes of it stands right beneath. */
function AirGroup() {
  return (
    <InputGroup title="Air" summary={airSummary}>
      <Field path="air.altitude" />
      <AltitudeSlider />
      <Field path="air.barometer.kind" />
      <BarometerField />
      <Field path="air.temperature" />
      <Field path="air.relativeHumidity" />
      <AirReadings />
    </InputGroup>
  );
}

function BarometerField() {
  const kind = useBuildField('air.barometer.kind');
  if (kind === 'standard') return null;
  return (
    <Field path="air.barometer.pressure" label={kind === 'read-on-site' ? 'Pressure on site' : 'Reported pressure'} />
  );
}

const HIGHEST_M = 4000;
/** Steps that are round in the unit that the field shows. */
const STEPS: Readonly<Record<string, { step: number; highest: number }>> = {
  m: { step: 50, highest: HIGHEST_M },
  ft: { step: 200, highest: 13_000 },
};

/** The altitude by dragging, from sea level up the mountain, in the unit of the field above. What was typed beyond its ends stays typed. */
function AltitudeSlider() {
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
      <span className="flex between ui-faint fine" aria-hidden="true">
        <span>0</span>
        <span>
          {formatNumber(highest, 0)} {label}
        </span>
      </span>
    </div>
  );
}

/** What the air inputs come to, at once: pressure at the place, density, moisture; and what is doubtful about them. */
function AirReadings() {
  const reading = useLugline(selectDayAir);
  const kind = useBuildField('air.barometer.kind');
  const { unit } = useBuildField('air.barometer.pressure');
  const rows = airReadings(reading, unit, kind, useResultUnits());
  return (
    <>
      <Terms className={styles.readings} label="Air at the engine" of={rows} />
      <FieldMessages of={reading.notes} className="callout" />
      <FieldMessages of={reading.problems} />
    </>
  );
}

const NOTES: Readonly<Record<Build['goal']['kind'], string>> = {
  'gauge-boost': 'Held over the ambient of the day: the manifold pressure falls with altitude.',
  'manifold-pressure': 'Held whatever the ambient: the compressor works harder with altitude.',
  'brake-power': 'The boost that gives this power is found at every engine speed.',
  'wheel-power': 'The boost that gives this power is found at every engine speed.',
};

/** What the engine is asked for, over engine speed: always in sight, to be dragged. Every kind keeps its own curve. */
function GoalGroup() {
  const kind = useBuildField('goal.kind');
  return (
    <>
      <InputGroup title="Goal" summary={goalSummary}>
        <Field path="goal.kind" />
        <p className={styles.note}>{NOTES[kind]}</p>
        <Suspense fallback={null}>
          <CurveTable key={kind} path={`goal.curves.${kind}`} />
        </Suspense>
      </InputGroup>
      <div className={styles.goal}>
        <TypedCurveChart key={kind} path={`goal.curves.${kind}`} />
      </div>
    </>
  );
}

/** The engine as a breathing and burning machine. */
function EngineGroup() {
  return (
    <InputGroup title="Engine" summary={engineSummary}>
      <Field path="engine.displacement" />
      <Field path="engine.cylinders" />
      <Field path="engine.strokesPerCycle" />
      <Field path="engine.compressionRatio" />
      <Field path="engine.injection" />
      <Field path="engine.fuel" change={changeFuel} />
      <Field path="engine.drivelineLoss" />
      <EngineCurves />
    </InputGroup>
  );
}

/** From the compressor outlet to the manifold. */
function ChargePathGroup() {
  return (
    <InputGroup title="Charge path and cooler" summary={chargePathSummary}>
      <LossFields group="chargePath" />
      <Field path="chargePath.cooler.kind" />
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
      <Field path="chargePath.cooler.effectiveness" />
      <Field path="chargePath.cooler.falling" />
      {falling && (
        <>
          <Field path="chargePath.cooler.atLowFlow" />
          <Field path="chargePath.cooler.effectivenessAtHighFlow" />
          <Field path="chargePath.cooler.atHighFlow" />
        </>
      )}
      {kind === 'air' ? (
        <Field path="chargePath.cooler.recovery" />
      ) : (
        <Field path="chargePath.cooler.waterTemperature" />
      )}
    </>
  );
}

/** A loss; whether of each branch or shared is asked only where there are several turbos. */
function LossFields({ group }: { group: 'inletPath' | 'chargePath' }) {
  const { several } = useSettings();
  return <FieldsOf group={group} {...(!several && { except: `${group}.of` as const })} />;
}

/** Filter and duct ahead of the compressor. */
function InletGroup() {
  return (
    <InputGroup title="Inlet" summary={inletSummary}>
      <LossFields group="inletPath" />
    </InputGroup>
  );
}

/** Injectors and pump, checked only where the shop wants it. */
function FuelSupplyGroup() {
  const checked = useBuildField('fuelSupply.checked');
  return (
    <InputGroup title="Fuel supply" summary={fuelSupplySummary}>
      <Field path="fuelSupply.checked" />
      {checked && (
        <>
          <FieldsOf group="fuelSupply" except="fuelSupply.checked" />
          <FuelNeeded />
        </>
      )}
    </InputGroup>
  );
}

/** What the line of the candidate that is shown asks of injectors and pump; nothing while there is none. */
function FuelNeeded() {
  const needed = useLugline((state) => {
    const shown = selectShownCandidate(state);
    const findings = shown === null ? undefined : selectCandidateResults(state, shown)?.findings;
    return findings?.find(({ code }) => code === 'fuel-needed');
  });
  const units = useResultUnits();
  if (needed === undefined) return null;
  return (
    <p className={styles.note} role="status">
      {sentenceOf(needed, units)}
    </p>
  );
}

/** What the shop keeps in hand. */
function LimitsGroup() {
  return (
    <InputGroup title="Limits" summary={limitsSummary}>
      <FieldsOf group="limits" except="limits.stayBelowTopLine" />
    </InputGroup>
  );
}

/** The engine speeds that are computed. */
function EngineSpeedsGroup() {
  return (
    <InputGroup title="Engine speeds" summary={engineSpeedsSummary}>
      <FieldsOf group="engineSpeeds" />
    </InputGroup>
  );
}

/** Customer, plate, job number, whatever the shop writes. */
function NotesGroup() {
  return (
    <InputGroup title="Notes" summary={notesSummary}>
      <Field path="notes" />
    </InputGroup>
  );
}

/** From the exhaust ports to the tailpipe, the turbine itself apart: that belongs to the candidate. */
function ExhaustGroup() {
  const kind = useBuildField('exhaust.inletTemperature.kind');
  const { several } = useSettings();
  const isUsed = useLugline((state) => selectCandidates(state).some(({ turbine }) => turbine.source !== 'none'));
  return (
    <InputGroup title="Exhaust" summary={exhaustSummary}>
      {!isUsed && <p className={styles.note}>Used once the turbine of a candidate is known.</p>}
      <Field path="exhaust.loss" />
      <Field path="exhaust.atFlow" />
      <Field path="exhaust.atDensity" />
      {several && <Field path="exhaust.of" />}
      <Field path="exhaust.inletTemperature.kind" />
      {kind === 'estimated' ? <EstimatedTemperature /> : <CurveEditor path="exhaust.inletTemperature.curve" />}
      <Field path="exhaust.measuredBackPressureRatio" />
    </InputGroup>
  );
}

/** What the estimate comes to on the line of the candidate that is shown. */
function EstimatedTemperature() {
  const points = useLugline((state) => {
    const shown = selectShownCandidate(state);
    return shown === null ? null : (selectCandidateResults(state, shown)?.points ?? null);
  });
  const units = useResultUnits();
  const words = useMemo(() => inletTemperatureWords(points ?? [], units), [points, units]);
  return (
    <p className={styles.note} role="status">
      {words}
    </p>
  );
}
