import type { Build, FiledSheet, FitmentItem } from '../document.ts';
import { uniqueName } from '../document.ts';
import { buildStep, type Change, merging, withActiveBuild } from './changeBuild.ts';

/*
 * Changes of what the Altitude and Sheet views alone show: saved places, breakpoints of the control unit's table, the fitment list, the
 * sheet as it was filed.
 */

/** More rows than this push the numbers off the two pages of the sheet. */
export const MOST_FITMENT_ITEMS = 24;

/** Adds a row to the fitment list of the open build. `id` must be new (createId). */
export function addFitmentItem(id: string, part = ''): Change {
  return buildStep('add part to the fitment list', (build) =>
    build.fitment.length >= MOST_FITMENT_ITEMS
      ? build
      : { ...build, fitment: [...build.fitment, { id, part, detail: '' }] },
  );
}

export function removeFitmentItem(itemId: string): Change {
  return buildStep('remove part from the fitment list', (build) => {
    const fitment = build.fitment.filter((item) => item.id !== itemId);
    return fitment.length === build.fitment.length ? build : { ...build, fitment };
  });
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
  return buildStep('add place', (build) => {
    if (build.places.length >= MOST_PLACES) return build;
    const name = uniqueName(
      wanted,
      build.places.map((place) => place.name),
    );
    return { ...build, places: [...build.places, { id, name, ...build.air }] };
  });
}

export function removePlace(placeId: string): Change {
  return buildStep('remove place', (build) => {
    const places = build.places.filter((place) => place.id !== placeId);
    return places.length === build.places.length ? build : { ...build, places };
  });
}

/** Makes the breakpoints that came round a pasted table those of the control unit table. */
export function takeBreakpoints(breakpoints: Pick<Build['controlTable'], 'engineSpeeds' | 'barometers'>): Change {
  return buildStep('take the breakpoints of the pasted table', (build) => ({
    ...build,
    controlTable: { ...build.controlTable, ...breakpoints },
  }));
}

/** Keeps the record of a sheet with the open build; null takes it away. */
export function fileSheet(record: FiledSheet | null): Change {
  return buildStep('file the sheet', (build) => {
    if (record !== null) return { ...build, filed: record };
    if (build.filed === undefined) return build;
    const { filed: _taken, ...without } = build;
    return without;
  });
}
