import type { Build, MapDraft, Settings, Workspace } from '../document.ts';
import { mapsOf, sameContent, withMapsOf } from '../document.ts';
import { withBuildAdded } from './builds.ts';
import { changeCandidates } from './candidates.ts';
import { type Change, step } from './changeBuild.ts';
import { findMap } from './maps.ts';
import { withMapAdded, withMapShelved } from './shelf.ts';

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
