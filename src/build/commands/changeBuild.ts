import { FUELS } from '../../engine/index.ts';
import type { FuelKey } from '../../engine/types.ts';
import { parseNumber, plainNumber } from '../../units/index.ts';
import { type BuildPath, type BuildValue, getBuildField, withBuildField } from '../buildPaths.ts';
import type { Build, SavedPlace, Settings, TypedCurve, Workspace } from '../document.ts';
import { fieldNames } from '../fieldNames.ts';
import type { CurvePath } from '../fieldRules.ts';
import type { FiledSheet, FitmentItem } from '../matchSheet.ts';
import { sameContent } from '../sameContent.ts';
import { uniqueName } from '../uniqueName.ts';

/**
 * One change of the workspace with its undo policy:
 * - 'step': undone by itself;
 * - 'merge': one step together with the change before it, when that has the same mergeKey and is less than a second old: a drag,
 *   or the typing in one field;
 * - 'never': what is looked at, not what is entered (which build is open, theme); undo leaves it alone.
 */
export interface Change {
  /** In the words of the undo button: 'change altitude'. */
  label: string;
  undo: 'step' | 'merge' | 'never';
  mergeKey?: string | undefined;
  /** Pure. Gives the very same workspace back when nothing changes, and then no step is made. */
  perform(workspace: Workspace): Workspace;
}

export function step(label: string, perform: Change['perform']): Change {
  return { label, undo: 'step', perform };
}

export function merging(label: string, mergeKey: string, perform: Change['perform']): Change {
  return { label, undo: 'merge', mergeKey, perform };
}

export function unrecorded(label: string, perform: Change['perform']): Change {
  return { label, undo: 'never', perform };
}

/** The workspace with the open build changed. */
export function withActiveBuild(workspace: Workspace, change: (build: Build) => Build): Workspace {
  const build = workspace.builds[workspace.activeBuildId];
  if (build === undefined) return workspace;
  const next = change(build);
  return next === build ? workspace : { ...workspace, builds: { ...workspace.builds, [build.id]: next } };
}

/** Changes one field of the open build; typing in the same field within a second is one step. */
export function setBuildField<P extends BuildPath>(path: P, value: BuildValue<P>): Change {
  return merging(`change ${fieldNames[path]}`, path, (workspace) =>
    withActiveBuild(workspace, (build) =>
      sameContent(getBuildField(build, path), value) ? build : withBuildField(build, path, value),
    ),
  );
}

/** Replaces the rows of a curve of the open build; the unit stays. A drag of one point is one step. */
export function setCurve(path: CurvePath, rows: TypedCurve['rows']): Change {
  return merging(`change ${fieldNames[path]}`, path, (workspace) =>
    withActiveBuild(workspace, (build) => {
      const curve = getBuildField(build, path);
      return sameContent(curve.rows, rows) ? build : withBuildField(build, path, { ...curve, rows });
    }),
  );
}

/** Changes settings: how things are shown, which is no step of undo. */
export function changeSettings(changed: Partial<Settings>): Change {
  return unrecorded('change settings', (workspace) => {
    const settings = { ...workspace.settings, ...changed };
    return sameContent(settings, workspace.settings) ? workspace : { ...workspace, settings };
  });
}

/** Far below what anybody knows of a consumption (some 4 %), and enough to bring 285 back to 285 from another fuel. */
const ROUNDING = 2e-4;

/**
 * Changes the fuel of the open build, and with it the specific consumption: every entered value is scaled by the heating values, so that
 * the share of the fuel's heat that reaches the crankshaft stays. A consumption of petrol left standing under E85 would make half as
 * much power again out of the same air. One step of undo brings fuel and consumption back.
 */
export function changeFuel(fuel: FuelKey): Change {
  return step('change fuel', (workspace) =>
    withActiveBuild(workspace, (build) => {
      const { engine } = build;
      if (engine.fuel === fuel) return build;
      const factor = FUELS[engine.fuel].lowerHeatingValueJPerKg / FUELS[fuel].lowerHeatingValueJPerKg;
      return { ...build, engine: { ...engine, fuel, bsfc: scaled(engine.bsfc, factor) } };
    }),
  );
}

/** What cannot be read stays as it was typed. */
function scaled(curve: TypedCurve, factor: number): TypedCurve {
  const rows = curve.rows.map((row) => {
    const parsed = parseNumber(row.value);
    return parsed.ok ? { ...row, value: shortest(parsed.value * factor) } : row;
  });
  return { ...curve, rows };
}

/** The text with the fewest digits that is the value within the rounding allowed. */
function shortest(value: number): string {
  for (let digits = 2; digits < 6; digits++) {
    const text = plainNumber(value, digits);
    if (Math.abs(Number(text) - value) <= ROUNDING * Math.abs(value)) return text;
  }
  return plainNumber(value, 6);
}

/** More rows than this push the numbers off the two pages of the sheet. */
export const MOST_FITMENT_ITEMS = 24;

/** Adds a row to the fitment list of the open build. `id` must be new (createId). */
export function addFitmentItem(id: string, part = ''): Change {
  return step('add part to the fitment list', (workspace) =>
    withActiveBuild(workspace, (build) =>
      build.fitment.length >= MOST_FITMENT_ITEMS
        ? build
        : { ...build, fitment: [...build.fitment, { id, part, detail: '' }] },
    ),
  );
}

export function removeFitmentItem(itemId: string): Change {
  return step('remove part from the fitment list', (workspace) =>
    withActiveBuild(workspace, (build) => {
      const fitment = build.fitment.filter((item) => item.id !== itemId);
      return fitment.length === build.fitment.length ? build : { ...build, fitment };
    }),
  );
}

/** Changes the text of a row; typing within a second is one step. */
export function setFitmentItem(itemId: string, field: keyof Omit<FitmentItem, 'id'>, value: string): Change {
  return merging('change fitment list', `fitment.${itemId}.${field}`, (workspace) =>
    withActiveBuild(workspace, (build) => {
      const fitment = build.fitment.map((item) =>
        item.id === itemId && item[field] !== value ? { ...item, [field]: value } : item,
      );
      return fitment.some((item, i) => item !== build.fitment[i]) ? { ...build, fitment } : build;
    }),
  );
}

/** More places than this cannot be told apart on one chart. */
export const MOST_PLACES = 12;

/** Saves a place with the air of the day, to be changed from there. At most twelve. `id` must be new (createId). */
export function addPlace(id: string, wanted = 'Place 1'): Change {
  return step('add place', (workspace) =>
    withActiveBuild(workspace, (build) => {
      if (build.places.length >= MOST_PLACES) return build;
      const name = uniqueName(
        wanted,
        build.places.map((place) => place.name),
      );
      return { ...build, places: [...build.places, { id, name, ...build.air }] };
    }),
  );
}

export function removePlace(placeId: string): Change {
  return step('remove place', (workspace) =>
    withActiveBuild(workspace, (build) => {
      const places = build.places.filter((place) => place.id !== placeId);
      return places.length === build.places.length ? build : { ...build, places };
    }),
  );
}

const FIELD_NAMES = {
  name: 'name of the place',
  altitude: 'altitude of the place',
  barometer: 'pressure at the place',
  temperature: 'air temperature at the place',
  relativeHumidity: 'humidity at the place',
} as const;

/** Changes a field of a saved place of the open build. */
export function setPlaceField<K extends keyof typeof FIELD_NAMES>(
  placeId: string,
  field: K,
  value: SavedPlace[K],
): Change {
  return merging(`change ${FIELD_NAMES[field]}`, `place.${placeId}.${field}`, (workspace) =>
    withActiveBuild(workspace, (build) =>
      changePlace(build, placeId, (place) => (sameContent(place[field], value) ? place : { ...place, [field]: value })),
    ),
  );
}

function changePlace(build: Build, placeId: string, change: (place: SavedPlace) => SavedPlace): Build {
  const places = build.places.map((place) => (place.id === placeId ? change(place) : place));
  return places.some((place, i) => place !== build.places[i]) ? { ...build, places } : build;
}

/** Keeps the record of a sheet with the open build; null takes it away. */
export function fileSheet(record: FiledSheet | null): Change {
  return step('file the sheet', (workspace) =>
    withActiveBuild(workspace, (build) => {
      if (record !== null) return { ...build, filed: record };
      if (build.filed === undefined) return build;
      const { filed: _taken, ...without } = build;
      return without;
    }),
  );
}
