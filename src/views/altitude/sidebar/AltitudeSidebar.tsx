import { memo, useCallback } from 'react';
import {
  addPlace,
  type Build,
  MOST_PLACES,
  type PlaceNumber,
  placeRules,
  removePlace,
  type SavedPlace,
  setPlaceField,
  studyPlaces,
} from '../../../build/index.ts';
import {
  createId,
  selectActiveBuild,
  selectCandidates,
  useApply,
  useBuildField,
  useFieldDraft,
  useLugline,
} from '../../../store/index.ts';
import { findUnit, type QuantityKey } from '../../../units/index.ts';
import {
  Button,
  Disclosure,
  QuantityField,
  SelectField,
  TextLine,
  type TypedQuantity,
} from '../../../widgets/index.ts';
import { TUNER_UNITS } from '../../shared/altitudeStudies.ts';
import { BoundChoice } from '../../shared/BoundChoice.tsx';
import { BoundQuantity } from '../../shared/BoundQuantity.tsx';
import { BoundSwitch } from '../../shared/BoundSwitch.tsx';
import { LimitFields } from '../../shared/LimitFields.tsx';
import { useFieldPlace } from '../../shared/useFieldPlace.ts';
import styles from '../altitude.module.css';
import { toleranceName } from '../model/influenceBars.ts';

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

/** Places with weather of their own: the pass on a hot day, the coast in winter. */
export function PlacesGroup() {
  const places = useLugline((state) => selectActiveBuild(state).places);
  const apply = useApply();
  return (
    <Disclosure title="Saved places" summary={places.length === 0 ? 'none' : String(places.length)}>
      <p className={styles.note}>Each has its own weather. A new one begins with the air of today.</p>
      {places.map((place) => (
        <PlaceFields key={place.id} place={place} />
      ))}
      <div className={styles.actions}>
        <Button icon="plus" isDisabled={places.length >= MOST_PLACES} onPress={() => apply(addPlace(createId()))}>
          Add a place
        </Button>
      </div>
    </Disclosure>
  );
}

const BAROMETERS = [
  { key: 'standard', name: 'Standard atmosphere' },
  { key: 'read-on-site', name: 'Barometer read on site' },
  { key: 'weather-report', name: 'Weather report (sea level)' },
] as const;

/** One saved place: its name, its altitude and its air. */
export function PlaceFields({ place }: { place: SavedPlace }) {
  const apply = useApply();
  const { kind, pressure } = place.barometer;
  const name = place.name.trim() === '' ? 'Place without a name' : place.name;
  return (
    <Disclosure title={name} summary={place.altitude.text} level={4}>
      <TextLine label="Name" value={place.name} onChange={(text) => apply(setPlaceField(place.id, 'name', text))} />
      <PlaceQuantity place={place} field="altitude" label="Altitude" />
      <SelectField
        stacked
        label="Pressure from"
        value={kind}
        options={BAROMETERS}
        onChange={(key) => apply(setPlaceField(place.id, 'barometer', { kind: key, pressure }))}
      />
      {kind !== 'standard' && (
        <PlaceQuantity
          place={place}
          field="pressure"
          label={kind === 'read-on-site' ? 'Pressure on site' : 'Reported pressure'}
        />
      )}
      <PlaceQuantity place={place} field="temperature" label="Air temperature" />
      <PlaceQuantity place={place} field="relativeHumidity" label="Relative humidity" />
      <div className={styles.actions}>
        <Button variant="quiet" icon="trash" label={`Remove ${name}`} onPress={() => apply(removePlace(place.id))}>
          Remove place
        </Button>
      </div>
    </Disclosure>
  );
}

function PlaceQuantity({ place, field, label }: { place: SavedPlace; field: PlaceNumber; label: string }) {
  const apply = useApply();
  const { id, barometer } = place;
  const [draft, keepDraft] = useFieldDraft(useFieldPlace(`place/${id}/${field}`));
  const { kind } = barometer;
  const onChange = useCallback(
    (next: TypedQuantity) =>
      apply(
        field === 'pressure'
          ? setPlaceField(id, 'barometer', { kind, pressure: next })
          : setPlaceField(id, field, next),
      ),
    [apply, id, field, kind],
  );
  const { quantity, low, high } = placeRules[field];
  return (
    <QuantityField
      label={label}
      value={field === 'pressure' ? barometer.pressure : place[field]}
      quantity={quantity}
      min={low}
      max={high}
      draft={draft}
      onDraft={keepDraft}
      onChange={onChange}
    />
  );
}

const KEYS = [
  'volumetricEfficiency',
  'bsfc',
  'lambda',
  'mapFlow',
  'mapPressureRatio',
  'mapEfficiency',
  'coolerEffectiveness',
  'airTemperature',
  'ambientPressure',
  'inletLoss',
  'chargeLoss',
] as const;

const OF_TURBINE = ['turbineCapacity', 'turbineEfficiency', 'turbineInletTemperature', 'exhaustLoss'] as const;

/** How far off each input may be. */
export function SpreadGroup() {
  const hasTurbine = useLugline((state) => selectCandidates(state).some(({ turbine }) => turbine.source !== 'none'));
  return (
    <Disclosure title="Tolerances" summary="for the spread">
      <p className={styles.note}>
        Half widths: 19 of 20 values lie within. Efficiencies are in points of efficiency, temperatures in degrees, the
        others in per cent of the value. 0 is exactly known. The first figures are common practice; enter your own.
      </p>
      {[...KEYS, ...(hasTurbine ? OF_TURBINE : [])].map((key) => (
        <BoundQuantity key={key} label={`± ${toleranceName(key)}`} path={`spread.tolerances.${key}`} />
      ))}
      <BoundQuantity label="Samples" path="spread.samples" />
      <BoundQuantity label="Seed" path="spread.seed" help="The same seed gives the same numbers." />
    </Disclosure>
  );
}
