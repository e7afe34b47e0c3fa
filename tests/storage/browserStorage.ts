import { IDBFactory } from 'fake-indexeddb';
import 'fake-indexeddb/auto';
import { defaultBuild, workspaceOf } from '../../src/build/index.ts';
import { openDatabase } from '../../src/storage/database.ts';
import type { AdoptedNews, KeeperStatus } from '../../src/storage/index.ts';
import { loadGate, type StoredState, WorkspaceKeeper } from '../../src/storage/index.ts';
import { type KeptAside, loadState } from '../../src/storage/load.ts';
import { createId } from '../../src/store/index.ts';

/** An empty browser profile. */
export function freshProfile(): void {
  globalThis.indexedDB = new IDBFactory();
}

/** How long something that is bound to come may take on any machine; what never comes fails then. */
export const BOUND_TO_COME = { timeout: 60_000, interval: 5 };

/** What stands in the database now, as a visit would read it; null in an empty profile. */
export async function storedNow(): Promise<StoredState | null> {
  const opened = await openDatabase();
  if (!opened.ok) throw new Error(opened.message);
  try {
    return (await loadState(opened.database, { freshId: createId, gate: loadGate })).state;
  } finally {
    opened.database.close();
  }
}

export interface Window {
  keeper: WorkspaceKeeper;
  /** What stood in the store when the window opened; null: nothing did, and it shows `blank`. */
  loaded: StoredState | null;
  /** What the window shows: loaded, changed there, or taken over from another. */
  shown: StoredState | null;
  keptAside: KeptAside[];
  status: Partial<KeeperStatus>;
  /** Every status as it was reported. */
  reports: Partial<KeeperStatus>[];
  adopted: ({ state: StoredState } & AdoptedNews)[];
}

/** What a window of these tests shows where nothing is stored, or nothing can be read. */
const blank: StoredState = { workspace: workspaceOf([defaultBuild('blank')]), drafts: {} };

/**
 * A window of the browser: a page that has just been opened.
 * @param answersWithinMs when to go on in memory, for a test in which the storage never answers.
 * @param fetchGate for a test that counts how often it is asked, or lets it fail.
 */
export async function openWindow(
  answersWithinMs = BOUND_TO_COME.timeout,
  fetchGate: typeof loadGate = loadGate,
): Promise<Window> {
  const window: Omit<Window, 'keeper' | 'loaded'> = {
    shown: null,
    status: {},
    reports: [],
    adopted: [],
    keptAside: [],
  };
  const { keeper, state } = await WorkspaceKeeper.open({
    freshId: createId,
    freshState: () => blank,
    blankState: () => blank,
    answersWithinMs,
    fetchGate,
    onStatus: (changed) => {
      window.reports.push(changed);
      Object.assign(window.status, changed);
    },
    onAdopt: (adopted, news) => {
      window.shown = adopted;
      window.adopted.push({ state: adopted, ...news });
    },
    onKeptAside: (records) => void window.keptAside.push(...records),
  });
  const changed = keeper.changed.bind(keeper);
  keeper.changed = (shown) => {
    window.shown = shown;
    changed(shown);
  };
  window.shown = state;
  return Object.assign(window, { keeper, loaded: state === blank ? null : state });
}
