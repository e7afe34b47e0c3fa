import { emptyMap, emptyTurbineSheet } from '../defaults.ts';
import {
  type Build,
  type MapDraft,
  mapsOf,
  type Settings,
  sameContent,
  uniqueName,
  type Workspace,
  withMapsOf,
} from '../document.ts';
import type { SheetKindKey } from '../draftCells.ts';
import { withBuildAdded } from './builds.ts';
import { changeCandidates } from './candidates.ts';
import { type Change, step } from './changeBuild.ts';
import { findMap, mapNames, withMapChanged } from './maps.ts';

/** The shelf with one more map, its name made unique, behind `after` or at the end. */
export function withMapAdded(workspace: Workspace, map: MapDraft, after?: string): Workspace {
  const at = after === undefined ? -1 : workspace.shelfOrder.indexOf(after);
  const place = at < 0 ? workspace.shelfOrder.length : at + 1;
  const name = uniqueName(map.name, mapNames(workspace));
  return {
    ...workspace,
    shelf: { ...workspace.shelf, [map.id]: name === map.name ? map : { ...map, name } },
    shelfOrder: workspace.shelfOrder.toSpliced(place, 0, map.id),
  };
}

/** What undo calls a new sheet of each kind, and its empty tables. */
const NEW_SHEETS = {
  compressor: { shortName: 'map', empty: emptyMap },
  turbine: { shortName: 'turbine sheet', empty: emptyTurbineSheet },
} satisfies Record<SheetKindKey, unknown>;

/** Adds the empty tables of a sheet to the shelf. `id` must be new (createId); without a name it is called as its kind's new ones are. */
export function addSheet(kind: SheetKindKey, id: string, name?: string): Change {
  const { shortName, empty } = NEW_SHEETS[kind];
  return step(`add ${shortName}`, (workspace) => {
    const system = workspace.builds[workspace.activeBuildId]?.units?.system ?? workspace.settings.system;
    return withMapAdded(workspace, empty(id, name, system));
  });
}

export function duplicateMap(mapId: string, id: string): Change {
  return step('duplicate map', (workspace) => {
    const map = findMap(workspace, mapId);
    return map === null ? workspace : withMapAdded(workspace, { ...map, id }, mapId);
  });
}

/** Gives a map another name, as committed; a name in use gets a number behind it. An empty name changes nothing. */
export function renameMap(mapId: string, wanted: string): Change {
  return step('rename map', (workspace) => {
    const map = findMap(workspace, mapId);
    if (map === null || wanted.trim() === '' || wanted.trim() === map.name) return workspace;
    const name = uniqueName(wanted, mapNames(workspace, mapId));
    return name === map.name ? workspace : withMapChanged(workspace, mapId, { ...map, name });
  });
}

/** Takes a map off the shelf. Builds that use it keep it. */
export function deleteMap(mapId: string): Change {
  return step('delete map', (workspace) => {
    if (workspace.shelf[mapId] === undefined) return workspace;
    const { [mapId]: _deleted, ...shelf } = workspace.shelf;
    return { ...workspace, shelf, shelfOrder: workspace.shelfOrder.filter((id) => id !== mapId) };
  });
}

/** A map that only builds carry, put back on the shelf; where its name had to be changed, in the builds too. */
export function withMapShelved(workspace: Workspace, map: MapDraft): Workspace {
  if (workspace.shelf[map.id] !== undefined) return workspace;
  const added = withMapAdded(workspace, map);
  const onShelf = added.shelf[map.id];
  return onShelf === undefined || onShelf === map ? added : withMapChanged(added, map.id, onShelf);
}

/** Puts a map that only builds still carry back on the shelf. */
export function putMapOnShelf(mapId: string): Change {
  return step('put map on the shelf', (workspace) => {
    const map = findMap(workspace, mapId);
    return map === null ? workspace : withMapShelved(workspace, map);
  });
}

/* Taking in what files bring. */

/**
 * Puts a map from a file on the shelf. The same map (same id, same content) is not taken twice; another map under an id that is in
 * use gets `freshId` and a name of its own.
 */
export function importMap(map: MapDraft, freshId: string): Change {
  return step('import map', (workspace) => takeMap(workspace, map, freshId).workspace);
}

/**
 * Adds a build from a file, with its maps, and opens it. The very same build is opened, not doubled; another build under an id that
 * is in use gets `freshId` and a name of its own. Its maps are shared with the shelf where they are the same.
 */
export function importBuild(build: Build, freshId: string): Change {
  return step('import build', (workspace) => takeBuild(workspace, build, freshId));
}

/** What a backup brings, counted before anything is changed. */
export interface RestoreCounts {
  builds: number;
  maps: number;
  /** Already here, exactly the same. */
  buildsHere: number;
  mapsHere: number;
}

export interface Restored {
  builds: readonly Build[];
  maps: readonly MapDraft[];
  settings: Settings | null;
  activeBuildId: string | null;
}

/** Adds everything of a backup to what is here; nothing here is replaced but the settings. One step of undo. */
export function restoreBackup(backup: Restored, freshId: string): Change {
  return step('restore backup', (workspace) => {
    let next = workspace;
    backup.maps.forEach((map, i) => {
      next = takeMap(next, map, `${freshId}-map-${i + 1}`).workspace;
    });
    // Under which id each build of the backup stands now: a build that differs from one here was given a new id.
    const takenAs = new Map<string, string>();
    backup.builds.forEach((build, i) => {
      next = takeBuild(next, build, `${freshId}-build-${i + 1}`);
      takenAs.set(build.id, next.activeBuildId);
    });
    const open = backup.activeBuildId === null ? undefined : takenAs.get(backup.activeBuildId);
    return { ...next, activeBuildId: open ?? next.activeBuildId, settings: backup.settings ?? next.settings };
  });
}

/** How much of a backup is new here. */
export function countRestore(workspace: Workspace, backup: Restored): RestoreCounts {
  const mapsHere = backup.maps.filter((map) => sameContent(workspace.shelf[map.id], map)).length;
  const buildsHere = backup.builds.filter((build) => sameContent(workspace.builds[build.id], build)).length;
  return {
    builds: backup.builds.length - buildsHere,
    maps: backup.maps.length - mapsHere,
    buildsHere,
    mapsHere,
  };
}

function takeMap(workspace: Workspace, map: MapDraft, freshId: string): { workspace: Workspace; map: MapDraft } {
  const here = findMap(workspace, map.id) ?? sameOnShelf(workspace, map);
  if (here !== null && sameContent(here, { ...map, id: here.id })) {
    const shelved = withMapShelved(workspace, here);
    return { workspace: shelved, map: shelved.shelf[here.id] ?? here };
  }
  const id = here === null ? map.id : freshId;
  const taken = withMapAdded(workspace, { ...map, id });
  return { workspace: taken, map: taken.shelf[id] ?? map };
}

/** A file from elsewhere has no id of ours: opened twice, it is known by its content. */
function sameOnShelf(workspace: Workspace, map: MapDraft): MapDraft | null {
  return Object.values(workspace.shelf).find((other) => sameContent(other, { ...map, id: other.id })) ?? null;
}

function takeBuild(workspace: Workspace, build: Build, freshId: string): Workspace {
  const here = workspace.builds[build.id];
  if (here !== undefined && sameContent(here, build)) {
    return workspace.activeBuildId === build.id ? workspace : { ...workspace, activeBuildId: build.id };
  }
  let next = workspace;
  const taken = new Map<MapDraft, MapDraft>();
  for (const [index, map] of build.candidates.flatMap(mapsOf).entries()) {
    if (taken.has(map)) continue;
    const result = takeMap(next, map, `${freshId}-map-${index + 1}`);
    next = result.workspace;
    taken.set(map, result.map);
  }
  const shared = changeCandidates(build, (candidate) => withMapsOf(candidate, (map) => taken.get(map) ?? map));
  return withBuildAdded(next, here === undefined ? shared : { ...shared, id: freshId });
}
