import { memo } from 'react';
import { type Build, studyPlaces } from '../../../build/index.ts';
import { selectActiveBuild, useBuildField, useLugline } from '../../../store/index.ts';
import { findUnit, type QuantityKey } from '../../../units/index.ts';
import { Disclosure } from '../../../widgets/index.ts';
import { BoundChoice } from '../../shared/BoundChoice.tsx';
import { BoundQuantity } from '../../shared/BoundQuantity.tsx';
import { BoundSwitch } from '../../shared/BoundSwitch.tsx';
import { LimitFields } from '../../shared/LimitFields.tsx';
import { TUNER_UNITS } from '../../shared/tunerPressure.ts';
import styles from '../altitude.module.css';
import { PlacesGroup } from './PlacesGroup.tsx';
import { SpreadGroup } from './SpreadGroup.tsx';

const TEMPERATURES = [
  { key: 'day', name: 'As warm or cold as today' },
  { key: 'standard', name: 'Standard atmosphere' },
  { key: 'same', name: "Today's, at every altitude" },
] as const;

const TEMPERATURE_NOTES: Readonly<Record<Build['altitudes']['temperature'], string>> = {
  day: "Today's deviation from the standard temperature is kept at every altitude. Pressure and humidity are carried up from today's.",
  standard: 'The temperature falls with altitude as in the standard atmosphere.',
  same: 'One temperature everywhere: the hottest day that you plan for.',
};

const SHOWN = [
  { key: 'both', name: 'Altitudes and places' },
  { key: 'grid', name: 'Altitudes only' },
  { key: 'places', name: 'Places only' },
] as const;

const KINDS = [
  { key: 'gauge', name: 'Gauge (over ambient)' },
  { key: 'absolute', name: 'Absolute' },
] as const;

/** What is studied, under which limits, and how the table is written. */
export const AltitudeSidebar = memo(function AltitudeSidebar() {
  return (
    <aside className={styles.sidebar} aria-label="Inputs of the study">
      <AltitudesGroup />
      <PlacesGroup />
      <Disclosure
        title="Limits"
        summary={<Typed path="limits.shaftSpeedReserve" quantity="fraction" words="speed reserve" />}
        openAtFirst
      >
        <LimitFields />
        <BoundSwitch label="Stay below the top speed line" path="limits.stayBelowTopLine" />
        <p className={styles.note}>
          The same limits as in the Match view. The shaft speed limit itself stands with each candidate. An empty field
          is no limit; surge and choke always count.
        </p>
      </Disclosure>
      <Disclosure
        title="Calibration table"
        summary={<Typed path="calibration.step" quantity="pressure-difference" words="steps" />}
      >
        <BoundChoice label="Pressure is" path="calibration.pressureKind" options={KINDS} />
        <BoundQuantity label="Rounded down to steps of" path="calibration.step" units={TUNER_UNITS} />
        <BoundQuantity label="Blades past the sensor" path="calibration.bladesPastSensor" />
        <p className={styles.note}>
          The blades that pass the shaft-speed sensor in one turn: full blades, and the splitters too where the sensor
          sees them.
        </p>
      </Disclosure>
      <SpreadGroup />
    </aside>
  );
});

function AltitudesGroup() {
  const kind = useBuildField('altitudes.temperature');
  return (
    <Disclosure
      title="Altitudes"
      summary={<Typed path="altitudes.to" quantity="altitude" words="at most" />}
      openAtFirst
    >
      <BoundQuantity label="From" path="altitudes.from" />
      <BoundQuantity label="To" path="altitudes.to" />
      <BoundQuantity label="In steps of" path="altitudes.step" />
      <BoundChoice stacked label="Air temperature" path="altitudes.temperature" options={TEMPERATURES} />
      <p className={styles.note}>{TEMPERATURE_NOTES[kind]}</p>
      <BoundChoice stacked label="In the charts and the table" path="altitudes.shown" options={SHOWN} />
      <AltitudeProblems />
    </Disclosure>
  );
}

/** What cannot be read of altitudes, places and the day's air. */
function AltitudeProblems() {
  const build = useLugline(selectActiveBuild);
  const { problems } = studyPlaces(build);
  return problems.map(({ path, message }) => (
    <p key={path + message} className={styles.trouble} role="status">
      {message}
    </p>
  ));
}

/** A field as it was typed, for the heading of its group. */
function Typed({
  path,
  quantity,
  words,
}: {
  path: 'altitudes.to' | 'limits.shaftSpeedReserve' | 'calibration.step';
  quantity: QuantityKey;
  words: string;
}) {
  const { text, unit } = useBuildField(path);
  if (text.trim() === '') return null;
  return `${text.trim()}\u00a0${findUnit(quantity, unit)?.label ?? unit} ${words}`;
}
