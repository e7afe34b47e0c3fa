import type { Build, MapDraft, Workspace } from '../document.ts';
import { mapsOf, withMapsOf } from '../document.ts';
import { changeCandidates } from './candidates.ts';
import { type Change, merging } from './changeBuild.ts';

export function mapNames(workspace: Workspace, except?: string): string[] {
  return workspace.shelfOrder.flatMap((id) => (id === except ? [] : [workspace.shelf[id]?.name ?? '']));
}

/** The workspace with a map changed on the shelf and in every candidate that carries it, all sharing the one object. */
export function withMapChanged(workspace: Workspace, mapId: string, next: MapDraft): Workspace {
  const builds: Record<string, Build> = { ...workspace.builds };
  for (const [id, build] of Object.entries(workspace.builds)) {
    builds[id] = changeCandidates(build, (c) => withMapsOf(c, (map) => (map.id === mapId ? next : map)));
  }
  const onShelf = workspace.shelf[mapId] !== undefined;
  return { ...workspace, builds, shelf: onShelf ? { ...workspace.shelf, [mapId]: next } : workspace.shelf };
}

/** The map with that id, on the shelf or, deleted there, still in a build. */
export function findMap(workspace: Workspace, mapId: string): MapDraft | null {
  const onShelf = workspace.shelf[mapId];
  if (onShelf !== undefined) return onShelf;
  for (const build of Object.values(workspace.builds)) {
    for (const map of build.candidates.flatMap(mapsOf)) if (map.id === mapId) return map;
  }
  return null;
}

/**
 * Changes the tables of a map, on the shelf and in every candidate that carries it. Changes with the same `key` ('line 3 point 2')
 * within a second are one step. Neither the id can change nor what kind of sheet it is: candidates carry it as the one or the other.
 */
export function editMap(
  mapId: string,
  change: (draft: MapDraft) => MapDraft,
  label = 'edit map',
  key = 'tables',
): Change {
  return merging(label, `map.${mapId}.${key}`, (workspace) => {
    const map = findMap(workspace, mapId);
    if (map === null) return workspace;
    const next = change(map);
    return next === map ? workspace : withMapChanged(workspace, mapId, ofSame(map, next));
  });
}

function ofSame({ id, kind }: MapDraft, next: MapDraft): MapDraft {
  if (next.id === id && next.kind === kind) return next;
  const { kind: _changed, ...tables } = next;
  return { ...tables, id, ...(kind === undefined ? {} : { kind }) };
}
