import { emptyMap, emptyTurbineSheet } from '../defaults.ts';
import type { MapDraft, Workspace } from '../document.ts';
import { uniqueName } from '../document.ts';
import type { SheetKindKey } from '../draftCells.ts';
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
