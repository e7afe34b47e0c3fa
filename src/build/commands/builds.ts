import { defaultBuild } from '../defaults.ts';
import type { Build, MapDraft, Settings, Workspace } from '../document.ts';
import { mapsOf, sameContent, uniqueName, withMapsOf } from '../document.ts';
import { changeCandidates } from './candidates.ts';
import { type Change, step, unrecorded } from './changeBuild.ts';
import { findMap, mapNames, withMapAdded, withMapShelved } from './maps.ts';

/** The workspace with one more build, opened, its name made unique, behind `after` or at the end. */
function withBuildAdded(workspace: Workspace, build: Build, after?: string): Workspace {
  const at = after === undefined ? -1 : workspace.buildOrder.indexOf(after);
  const place = at < 0 ? workspace.buildOrder.length : at + 1;
  const name = uniqueName(build.name, buildNames(workspace));
  return {
    ...workspace,
    builds: { ...workspace.builds, [build.id]: name === build.name ? build : { ...build, name } },
    buildOrder: workspace.buildOrder.toSpliced(place, 0, build.id),
    activeBuildId: build.id,
  };
}

function buildNames(workspace: Workspace, except?: string): string[] {
  return workspace.buildOrder.flatMap((id) => (id === except ? [] : [workspace.builds[id]?.name ?? '']));
}

/**
 * Adds a build with the usual defaults and opens it; shop, who prepares the sheet and the paper are those of the build that was open, for
 * a shop is the same from job to job. `id` must be new (createId).
 */
export function newBuild(id: string, name?: string): Change {
  return step('new build', (workspace) =>
    withBuildOfShop(workspace, defaultBuild(id, name, workspace.settings.system)),
  );
}

/** The workspace with a new build opened in the name of the shop. */
export function withBuildOfShop(workspace: Workspace, build: Build): Workspace {
  const open = workspace.builds[workspace.activeBuildId];
  if (open === undefined) return withBuildAdded(workspace, build);
  const { shopName, preparedBy } = open.sheet;
  const paper = open.units?.system === build.units?.system ? open.sheet.paper : build.sheet.paper;
  return withBuildAdded(workspace, { ...build, sheet: { ...build.sheet, shopName, preparedBy, paper } });
}

/** Copies a build behind itself and opens the copy; the maps are shared, not copied. */
export function duplicateBuild(buildId: string, id: string): Change {
  return step('duplicate build', (workspace) => {
    const build = workspace.builds[buildId];
    return build === undefined ? workspace : withBuildAdded(workspace, { ...build, id }, buildId);
  });
}

/** Gives a build another name, as committed; a name in use gets a number behind it. An empty name changes nothing. */
export function renameBuild(buildId: string, wanted: string): Change {
  return step('rename build', (workspace) => {
    const build = workspace.builds[buildId];
    if (build === undefined || wanted.trim() === '' || wanted.trim() === build.name) return workspace;
    const name = uniqueName(wanted, buildNames(workspace, buildId));
    return name === build.name
      ? workspace
      : { ...workspace, builds: { ...workspace.builds, [buildId]: { ...build, name } } };
  });
}

/** Deletes a build and opens its neighbour. There is always one: in place of the last one a new build with `spareId` is made. */
export function deleteBuild(buildId: string, spareId: string): Change {
  return step('delete build', (workspace) => {
    if (workspace.builds[buildId] === undefined) return workspace;
    const at = workspace.buildOrder.indexOf(buildId);
    const { [buildId]: _deleted, ...builds } = workspace.builds;
    const buildOrder = workspace.buildOrder.filter((id) => id !== buildId);
    const neighbour = buildOrder[Math.min(at, buildOrder.length - 1)];
    if (neighbour === undefined)
      return withBuildAdded(
        { ...workspace, builds, buildOrder },
        defaultBuild(spareId, undefined, workspace.settings.system),
      );
    const activeBuildId = workspace.activeBuildId === buildId ? neighbour : workspace.activeBuildId;
    return { ...workspace, builds, buildOrder, activeBuildId };
  });
}

/** Opens a build. Not a step of undo: nothing is changed by looking. */
export function selectBuild(buildId: string): Change {
  return unrecorded('open build', (workspace) =>
    workspace.builds[buildId] === undefined || workspace.activeBuildId === buildId
      ? workspace
      : { ...workspace, activeBuildId: buildId },
  );
}

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

/**
 * Holds two rules on a workspace put together from stored parts: candidates carry the very object of the shelf where the content is
 * the same, and a candidate's map that differs from the shelf's map of that id gets an id and a name of its own.
 */
export function sharingMaps(workspace: Workspace, freshId: (index: number) => string): Workspace {
  const embedded = new Map<string, MapDraft[]>();
  const names = mapNames(workspace);
  let made = 0;
  const settle = (map: MapDraft): MapDraft => {
    const shelved = workspace.shelf[map.id];
    const known = [...(shelved === undefined ? [] : [shelved]), ...(embedded.get(map.id) ?? [])];
    const same = known.find((other) => sameContent(other, map));
    if (same !== undefined) return same;
    made += known.length === 0 ? 0 : 1;
    const settled = known.length === 0 ? map : { ...map, id: freshId(made), name: uniqueName(map.name, names) };
    names.push(settled.name);
    embedded.set(map.id, [...(embedded.get(map.id) ?? []), settled]);
    return settled;
  };
  const builds: Record<string, Build> = {};
  for (const [id, build] of Object.entries(workspace.builds)) {
    builds[id] = changeCandidates(build, (candidate) => withMapsOf(candidate, settle));
  }
  return { ...workspace, builds };
}
