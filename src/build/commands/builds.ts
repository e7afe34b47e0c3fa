import { defaultBuild } from '../defaults.ts';
import type { Build, MapDraft, Workspace } from '../document.ts';
import { sameContent, uniqueName, withMapsOf } from '../document.ts';
import { changeCandidates } from './candidates.ts';
import { type Change, step, unrecorded } from './changeBuild.ts';
import { mapNames } from './maps.ts';

/** The workspace with one more build, opened, its name made unique, behind `after` or at the end. */
export function withBuildAdded(workspace: Workspace, build: Build, after?: string): Workspace {
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
