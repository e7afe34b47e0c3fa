import {
  arranged,
  type Build,
  type Candidate,
  changeCandidates,
  type MapDraft,
  sameContent,
  sharingMaps,
  uniqueName,
  type Workspace,
  withMapsOf,
} from '../build/index.ts';
import type { Snapshot, StoredState } from './load.ts';

/** What both sides have grown from. */
export type MergeBase = Pick<Snapshot, 'settings' | 'drafts'> & {
  builds: ReadonlyMap<string, { object: Build }>;
  maps: ReadonlyMap<string, { object: MapDraft }>;
};

export interface Merged {
  state: StoredState;
  /** Names of builds and maps that both windows had changed: both versions are kept, this window's under that new name. */
  keptBoth: readonly string[];
}

/**
 * Brings together what this window has (`mine`) and what another has stored meanwhile (`theirs`), both grown from `base`. What only
 * one of them changed is taken from that one; what both changed is kept twice; a deletion gives way to a change.
 */
export function mergeStates(base: MergeBase, mine: StoredState, theirs: StoredState, freshId: () => string): Merged {
  const keptBoth: string[] = [];
  const maps = mergeRecords(base.maps, mine.workspace.shelf, theirs.workspace.shelf, freshId, keptBoth);
  const mineWithNewMaps = renamedIn(mine.workspace.builds, maps.copies, mine.workspace.shelf);
  const builds = mergeRecords(base.builds, mineWithNewMaps, theirs.workspace.builds, freshId, keptBoth);
  const active = mine.workspace.activeBuildId;
  const order = {
    buildOrder: [...mine.workspace.buildOrder, ...theirs.workspace.buildOrder],
    shelfOrder: [...mine.workspace.shelfOrder, ...theirs.workspace.shelfOrder],
  };
  const open = [builds.copies.get(active)?.id ?? active, theirs.workspace.activeBuildId];
  const workspace: Workspace = {
    ...arranged({ builds: builds.records, shelf: maps.records }, order, open),
    settings: mine.workspace.settings === base.settings ? theirs.workspace.settings : mine.workspace.settings,
  };
  const drafts = mergeDrafts(base.drafts ?? {}, mine.drafts, theirs.drafts);
  return { state: { workspace: sharingMaps(workspace, freshId), drafts }, keptBoth };
}

function mergeRecords<T extends Build | MapDraft>(
  base: ReadonlyMap<string, { object: T }>,
  mine: Readonly<Record<string, T>>,
  theirs: Readonly<Record<string, T>>,
  freshId: () => string,
  keptBoth: string[],
): { records: Record<string, T>; copies: Map<string, T> } {
  const records: Record<string, T> = {};
  const copies = new Map<string, T>();
  const names = new Set(Object.values(theirs).map((record) => record.name));
  for (const id of new Set([...Object.keys(theirs), ...Object.keys(mine)])) {
    const before = base.get(id)?.object;
    const here = mine[id];
    const there = theirs[id];
    if (
      here !== undefined &&
      there !== undefined &&
      differs(here, before) &&
      differs(there, before) &&
      differs(here, there)
    ) {
      const copy = { ...here, id: freshId(), name: uniqueName(here.name, names) };
      names.add(copy.name);
      keptBoth.push(copy.name);
      copies.set(id, copy);
      records[id] = there;
      records[copy.id] = copy;
      continue;
    }
    const survivor = settle(before, here, there);
    if (survivor !== undefined) records[id] = survivor;
  }
  return { records, copies };
}

/** A record deleted on one side lives on only when the other side changed it. */
function settle<T>(before: T | undefined, here: T | undefined, there: T | undefined): T | undefined {
  if (here === undefined) return differs(there, before) ? there : undefined;
  if (there === undefined) return differs(here, before) ? here : undefined;
  return differs(there, before) ? there : here;
}

/** By content: a record that was read once more is another object with the same content. */
function differs(a: unknown, b: unknown): boolean {
  return a !== b && (a === undefined || b === undefined || !sameContent(a, b));
}

/** This window's builds carry this window's version of a map that was kept twice. */
function renamedIn(
  builds: Readonly<Record<string, Build>>,
  copies: ReadonlyMap<string, MapDraft>,
  shelf: Readonly<Record<string, MapDraft>>,
): Record<string, Build> {
  const replace = (candidate: Candidate): Candidate =>
    withMapsOf(candidate, (map) => (shelf[map.id] === map ? copies.get(map.id) : undefined) ?? map);
  return Object.fromEntries(Object.entries(builds).map(([id, build]) => [id, changeCandidates(build, replace)]));
}

type Drafts = StoredState['drafts'];

/** Field by field: what this window changed stands, a text let go of included. */
function mergeDrafts(base: Drafts, mine: Drafts, theirs: Drafts): Drafts {
  const merged: Record<string, string> = {};
  for (const place of new Set([...Object.keys(mine), ...Object.keys(theirs)])) {
    const text = mine[place] === base[place] ? theirs[place] : mine[place];
    if (text !== undefined) merged[place] = text;
  }
  return merged;
}
