import { IDBFactory } from 'fake-indexeddb';
import 'fake-indexeddb/auto';
import type { KeeperStatus } from '../../src/storage/index.ts';
import { type StoredState, WorkspaceKeeper } from '../../src/storage/index.ts';
import { createId } from '../../src/store/index.ts';

/** An empty browser profile. */
export function freshProfile(): void {
  globalThis.indexedDB = new IDBFactory();
}

export interface Window {
  keeper: WorkspaceKeeper;
  loaded: StoredState | null;
  keptAside: Awaited<ReturnType<typeof WorkspaceKeeper.open>>['keptAside'];
  status: Partial<KeeperStatus>;
  /** Every status as it was reported. */
  reports: Partial<KeeperStatus>[];
  adopted: { state: StoredState; keptBoth: readonly string[]; contentChanged: boolean }[];
}

/** A window of the browser: a page that has just been opened. */
export async function openWindow(): Promise<Window> {
  const window: Omit<Window, 'keeper' | 'loaded' | 'keptAside'> = { status: {}, reports: [], adopted: [] };
  const { keeper, state, keptAside } = await WorkspaceKeeper.open({
    freshId: createId,
    openWithinMs: 200,
    onStatus: (changed) => {
      window.reports.push(changed);
      Object.assign(window.status, changed);
    },
    onAdopt: (adopted, news) => window.adopted.push({ state: adopted, ...news }),
  });
  return Object.assign(window, { keeper, loaded: state, keptAside });
}
