import { type DBSchema, type IDBPDatabase, openDB } from 'idb';
import type { BuildFile, MapDraft } from '../build/index.ts';

export const DATABASE_NAME = 'lugline';
/** 2: pictures of sheets. */
const DATABASE_VERSION = 2;
/** A database that does not open in this time is taken for blocked; the page must not wait for ever. */
const OPEN_WITHIN_MS = 4000;

/** A stored build; `revision` is the count of savings at which it was last written. */
export interface BuildRecord {
  revision: number;
  file: BuildFile;
}

export interface MapRecord {
  revision: number;
  version: 1;
  draft: MapDraft;
}

/** A picture of a sheet; `unusedSince` in ms from when on no stored map was found to need it. */
export interface PictureRecord {
  bytes: Blob;
  unusedSince?: number | undefined;
}

export interface LuglineSchema extends DBSchema {
  builds: { key: string; value: BuildRecord };
  maps: { key: string; value: MapRecord };
  pictures: { key: string; value: PictureRecord };
  /** 'revision', 'order', 'settings', 'drafts', 'backup time', 'backup file'. */
  meta: { key: string; value: unknown };
}

export type LuglineDatabase = IDBPDatabase<LuglineSchema>;

export type OpenedDatabase = { ok: true; database: LuglineDatabase } | { ok: false; message: string };

export interface OpenOptions {
  name?: string;
  withinMs?: number;
  /** Called when this page must let go: a newer version wants the database, or the browser closed it. */
  onLost?: (message: string) => void;
}

/** Where site data is forbidden by policy, even asking for the name throws. */
function offersStorage(): boolean {
  try {
    return typeof indexedDB !== 'undefined';
  } catch {
    return false;
  }
}

/** Opens the browser's database, or says in plain words why nothing can be stored. Never throws and never hangs. */
export async function openDatabase(options: OpenOptions = {}): Promise<OpenedDatabase> {
  if (!offersStorage()) {
    return { ok: false, message: 'This browser offers no storage to the page (private window, or switched off).' };
  }
  let blocked = false;
  let timer: ReturnType<typeof setTimeout> | undefined;
  try {
    const opening = openDB<LuglineSchema>(options.name ?? DATABASE_NAME, DATABASE_VERSION, {
      upgrade(database, from) {
        if (from < 1) {
          database.createObjectStore('builds');
          database.createObjectStore('maps');
          database.createObjectStore('meta');
        }
        if (from < 2) database.createObjectStore('pictures');
      },
      blocked() {
        blocked = true;
      },
      blocking(_current, _wanted, event) {
        (event.target as IDBDatabase).close();
        options.onLost?.('A newer Lugline is open in another window. Reload this page to go on storing.');
      },
      terminated() {
        options.onLost?.('The browser closed the storage. Reload the page; save a file first if it was not saved.');
      },
    });
    const late = new Promise<null>((resolve) => {
      timer = setTimeout(() => resolve(null), options.withinMs ?? OPEN_WITHIN_MS);
    });
    const database = await Promise.race([opening, late]);
    if (database !== null) return { ok: true, database };
    // If it opens after all, let go of it: this page has gone on without.
    opening.then((lateDatabase) => lateDatabase.close()).catch(() => undefined);
    return { ok: false, message: lateMessage(blocked) };
  } catch (error) {
    return { ok: false, message: openMessage(error) };
  } finally {
    clearTimeout(timer);
  }
}

function lateMessage(blocked: boolean): string {
  return blocked
    ? 'Another window with an older Lugline holds the storage. Close it and reload this page.'
    : 'The browser does not answer when asked for storage. Reload the page, or restart the browser.';
}

function openMessage(error: unknown): string {
  const name = error instanceof Error ? error.name : '';
  if (name === 'VersionError') return 'The data was stored by a newer Lugline. Reload the page to get it.';
  if (name === 'QuotaExceededError') return 'The browser has no room left for this page.';
  return 'The browser does not let this page store anything (private window, or storage is switched off).';
}
