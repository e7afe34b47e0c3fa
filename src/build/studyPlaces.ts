import { stationToSeaLevel } from '../air/index.ts';
import { deviationFromStandard, standardPlace } from '../match/index.ts';
import type { Place, PlaceRule } from '../match/types.ts';
import { placeFields } from './buildFields.ts';
import type { Build, Problem, SavedPlace } from './document.ts';
import { type BuildReader, buildReader, FieldReader } from './fieldReader.ts';
import { ambientOf, readAmbient } from './toMatchInput.ts';

/** A row of the study: an altitude of the grid, or a saved place with its id. */
export interface StudyPlace extends Place {
  savedId: string | null;
}

export interface StudyPlaces {
  /** Altitudes of the grid, rising; none when the grid is not shown or cannot be read. */
  grid: readonly StudyPlace[];
  /** In the order of the list; one that cannot be read is left out with a problem. */
  saved: readonly StudyPlace[];
  /** Between the ends of the grid as many altitudes as a field needs to be read, rising. */
  field: readonly StudyPlace[];
  /** Lowest and highest altitude of the grid; null when they cannot be read. */
  rangeM: readonly [number, number] | null;
  /** How air is made for an altitude; null when the air of the day cannot be read. */
  rule: PlaceRule | null;
  problems: readonly Problem[];
}

/** More altitudes than this are no table but a load on the machine. */
const MOST_ALTITUDES = 40;
/** A field with fewer rows shows its steps more than its shape. */
const LEAST_FIELD_ROWS = 13;

/** The altitudes and places that a build studies, each with its air. Never throws. */
export function studyPlaces(build: Build): StudyPlaces {
  const reader = buildReader(build);
  const rule = placeRule(build, reader);
  const altitudes = rule === null ? null : reader.steps('altitudes', MOST_ALTITUDES, 'altitude');
  const at = (altitudeM: number): StudyPlace[] => {
    const result = rule === null ? null : standardPlace(altitudeM, rule);
    if (result?.ok) return [{ ...result.place, savedId: null }];
    if (result !== null) reader.problems.push({ path: 'altitudes.from', message: result.message });
    return [];
  };
  const list = altitudes ?? [];
  const grid = build.altitudes.shown === 'places' ? [] : list.flatMap(at);
  const field = list.length < 2 ? list.flatMap(at) : refined(list).flatMap(at);
  const saved =
    build.altitudes.shown === 'grid' ? [] : build.places.flatMap((place, i) => savedPlace(place, i, reader));
  const first = list[0];
  const last = list.at(-1);
  return {
    grid,
    saved,
    field,
    rangeM: first === undefined || last === undefined ? null : [first, last],
    rule,
    problems: reader.problems,
  };
}

/** So made that at the day's own altitude the air is that of the day. */
function placeRule(build: Build, reader: BuildReader): PlaceRule | null {
  const day = readAmbient(build, reader);
  const altitudeM = reader.number('air.altitude');
  const relativeHumidity = reader.number('air.relativeHumidity');
  if (day === null || altitudeM === null || relativeHumidity === null) return null;
  const pressure =
    build.air.barometer.kind === 'standard' ? {} : { seaLevelPressurePa: stationToSeaLevel(day.pressurePa, altitudeM) };
  const deviationK = deviationFromStandard(day.temperatureK, altitudeM) ?? 0;
  const temperature = {
    day: { kind: 'deviation-held', deviationK },
    standard: { kind: 'standard' },
    same: { kind: 'same', temperatureK: day.temperatureK },
  } as const;
  return { temperature: temperature[build.altitudes.temperature], relativeHumidity, ...pressure };
}

function refined(altitudes: readonly number[]): number[] {
  const first = altitudes[0] ?? 0;
  const last = altitudes.at(-1) ?? first;
  const rows = Math.max(LEAST_FIELD_ROWS, altitudes.length);
  return Array.from({ length: rows }, (_, i) => first + ((last - first) * i) / (rows - 1));
}

function savedPlace(place: SavedPlace, index: number, found: BuildReader): StudyPlace[] {
  const reader = new FieldReader(
    placeFields,
    place,
    found,
    `places[${index}].`,
    (name) => `${name} of '${place.name}'`,
  );
  const altitudeM = reader.number('altitude');
  const temperatureK = reader.number('temperature');
  const humidity = reader.number('relativeHumidity');
  const { kind } = place.barometer;
  const barometerPa = kind === 'standard' ? undefined : reader.number('barometer.pressure');
  const ambient = ambientOf({ kind, altitudeM, barometerPa, temperatureK, humidity }, reader);
  return ambient === null ? [] : [{ name: place.name, altitudeM, ambient, savedId: place.id }];
}
