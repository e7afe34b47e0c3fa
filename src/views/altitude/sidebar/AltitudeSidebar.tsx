import { memo } from 'react';
import {
  addPlace,
  type Build,
  fieldAt,
  MOST_PLACES,
  pathsIn,
  readControlTable,
  removePlace,
  type SavedPlace,
  spreadSetup,
  studyPlaces,
  takeBreakpoints,
  tolerancesOf,
  usualBreakpoints,
} from '../../../build/index.ts';
import { type ToleranceKey, TURBINE_TOLERANCES } from '../../../match/index.ts';
import {
  createId,
  selectActiveBuild,
  selectCandidateResults,
  selectCandidates,
  selectShownCandidate,
  useApply,
  useBuild,
  useBuildField,
  useLugline,
} from '../../../store/index.ts';
import { formatNumber, typedText } from '../../../units/index.ts';
import { Button, Disclosure } from '../../../widgets/index.ts';
import { Field, FieldMessages, FieldsOf } from '../../shared/Field.tsx';
import styles from '../altitude.module.css';

const TEMPERATURE_NOTES: Readonly<Record<Build['altitudes']['temperature'], string>> = {
  day: "Today's deviation from the standard temperature is kept at every altitude. Pressure and humidity are carried up from today's.",
  standard: 'The temperature falls with altitude as in the standard atmosphere.',
  same: 'One temperature everywhere: the hottest day that you plan for.',
};

/** What is studied, under which limits, and how the table is written. */
export const AltitudeSidebar = memo(function AltitudeSidebar() {
  return (
    <aside className={styles.sidebar} aria-label="Inputs of the study">
      <AltitudesGroup />
      <PlacesGroup />
      <Disclosure title="Limits" summary={<Typed path="limits.shaftSpeedReserve" words="speed reserve" />} openAtFirst>
        <FieldsOf group="limits" />
        <p className={styles.note}>
          The same limits as in the Match view. The shaft speed limit itself stands with each candidate. An empty field
          is no limit; surge and choke always count.
        </p>
      </Disclosure>
      <Disclosure title="Calibration table" summary={<Typed path="calibration.step" words="steps" />}>
        <FieldsOf group="calibration" />
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
    <Disclosure title="Altitudes" summary={<Typed path="altitudes.to" words="at most" />} openAtFirst>
      <Field path="altitudes.from" />
      <Field path="altitudes.to" />
      <Field path="altitudes.step" />
      <Field path="altitudes.temperature" />
      <p className={styles.note}>{TEMPERATURE_NOTES[kind]}</p>
      <Field path="altitudes.shown" />
      <AltitudeProblems />
    </Disclosure>
  );
}

/** What cannot be read of altitudes, places and the day's air. */
function AltitudeProblems() {
  return <FieldMessages of={studyPlaces(useBuild()).problems} />;
}

/** A field as it was typed, for the heading of its group. */
function Typed({
  path,
  words,
}: {
  path: 'altitudes.to' | 'limits.shaftSpeedReserve' | 'calibration.step';
  words: string;
}) {
  const text = typedText(useBuildField(path), fieldAt(path).quantity);
  return text && `${text} ${words}`;
}

/** Places with weather of their own: the pass on a hot day, the coast in winter. */
function PlacesGroup() {
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

/** One saved place: its name, its altitude and its air. */
function PlaceFields({ place }: { place: SavedPlace }) {
  const apply = useApply();
  const { kind } = place.barometer;
  const name = place.name.trim() === '' ? 'Place without a name' : place.name;
  return (
    <Disclosure title={name} summary={place.altitude.text} level={3}>
      <Field path="place.name" id={place.id} />
      <Field path="place.altitude" id={place.id} />
      <Field path="place.barometer.kind" id={place.id} />
      {kind !== 'standard' && (
        <Field
          path="place.barometer.pressure"
          id={place.id}
          label={kind === 'read-on-site' ? 'Pressure on site' : 'Reported pressure'}
        />
      )}
      <Field path="place.temperature" id={place.id} />
      <Field path="place.relativeHumidity" id={place.id} />
      <div className={styles.actions}>
        <Button variant="quiet" icon="trash" label={`Remove ${name}`} onPress={() => apply(removePlace(place.id))}>
          Remove place
        </Button>
      </div>
    </Disclosure>
  );
}

/** What of the tolerances is asked for only where a turbine is known. */
const OF_TURBINE: readonly string[] = [...TURBINE_TOLERANCES].map((key) => `spread.tolerances.${key}`);

/** How far off each input may be. */
function SpreadGroup() {
  const hasTurbine = useLugline((state) => selectCandidates(state).some(({ turbine }) => turbine.source !== 'none'));
  const hasGate = useLugline((state) =>
    selectCandidates(state).some(({ wastegate: { diameter, area } }) => `${diameter.text}${area.text}`.trim() !== ''),
  );
  const shown = useLugline(selectShownCandidate);
  const input = useLugline((state) => selectCandidateResults(state, shown ?? 0)?.input ?? null);
  const build = useBuild();
  const entered = spreadSetup(build).setup?.tolerances;
  const used = entered && input ? tolerancesOf(entered, input) : entered;
  /** What is an estimate is off by its own band on top of what is entered. */
  const helpOf = (path: string) => {
    const key = path.slice(path.lastIndexOf('.') + 1) as ToleranceKey;
    if (entered === undefined || used === undefined || used[key] === entered[key]) return undefined;
    return `An estimate: with its own band it is ± ${formatNumber(used[key] * 100, 1)} % in all.`;
  };
  return (
    <Disclosure title="Tolerances" summary="for the spread">
      <p className={styles.note}>
        Half widths: 19 of 20 values lie within. Efficiencies are in points of efficiency, temperatures in degrees, the
        others in per cent of the value. 0 is exactly known. The first figures are common practice; enter your own.
      </p>
      {pathsIn('spread.tolerances')
        .filter((path) => (hasTurbine || !OF_TURBINE.includes(path)) && (hasGate || !path.endsWith('.gateFlow')))
        .map((path) => (
          <Field key={path} path={path} label={`± ${fieldAt(path).label}`} help={helpOf(path)} />
        ))}
      <FieldsOf group="spread" />
    </Disclosure>
  );
}

/** The control unit's breakpoints, how its numbers are written, and the table that it holds now. */
export const TableSidebar = memo(function TableSidebar() {
  const build = useBuild();
  const kind = useBuildField('controlTable.kind');
  const usual = usualBreakpoints(build);
  return (
    <aside className={styles.sidebar} aria-label="Inputs of the table">
      <Disclosure title="Breakpoints" summary="of the control unit" openAtFirst>
        <Field path="controlTable.axis" />
        <Field path="controlTable.engineSpeeds" placeholder={usual.engineSpeeds} />
        <Field path="controlTable.barometers" placeholder={usual.barometers} />
        <p className={styles.note}>
          Typed, or pasted from the control unit; up to 32 each, rising or falling. While a box is empty, what stands in
          it faintly is used.
        </p>
        <Field path="controlTable.layout" />
      </Disclosure>
      <Disclosure title="Target" summary="what the cells hold" openAtFirst>
        <Field path="controlTable.kind" />
        {kind === 'ratio' ? <Field path="controlTable.ratioStep" /> : <Field path="controlTable.step" />}
        <Field path="controlTable.coldest" />
        <Field path="controlTable.warmest" />
        <p className={styles.note}>
          The unit of the step is that of the table. The target holds in the coldest and the warmest air and halfway
          between, at the humidity of today.
        </p>
        <Field path="sheet.controlTable" label="Print it behind the match sheet" />
      </Disclosure>
      <Disclosure title="Your table" summary="held against the ceilings" openAtFirst>
        <Field path="controlTable.entered" />
        <p className={styles.note}>
          In the same kind, unit and order; with or without its breakpoints. Tabs, semicolons, commas or blanks between
          the numbers, decimal point or comma.
        </p>
        <TableProblems />
      </Disclosure>
      <Disclosure title="Limits" summary="as in the Match view">
        <FieldsOf group="limits" />
      </Disclosure>
    </aside>
  );
});

/** What cannot be read, and the way out. */
function TableProblems() {
  const build = useBuild();
  const apply = useApply();
  const { setup, problems } = readControlTable(build);
  const offered = setup?.pastedBreakpoints ?? null;
  return (
    <>
      <FieldMessages of={problems} />
      {offered !== null && (
        <div className={styles.actions}>
          <Button onPress={() => apply(takeBreakpoints(offered))}>Take its breakpoints</Button>
        </div>
      )}
    </>
  );
}
