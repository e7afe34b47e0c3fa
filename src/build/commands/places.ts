import type { Build, SavedPlace } from '../document.ts';
import { sameContent } from '../sameContent.ts';
import { uniqueName } from '../uniqueName.ts';
import { type Change, merging, step } from './change.ts';
import { withActiveBuild } from './changeBuild.ts';

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
