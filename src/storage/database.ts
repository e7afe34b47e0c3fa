import { type DBSchema, type IDBPDatabase, openDB } from 'idb';
import type { BuildFile, MapDraft } from '../build/index.ts';

export const DATABASE_NAME = 'lugline';
/** 2: pictures of sheets. 3: road logs. */
const DATABASE_VERSION = 3;

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

/** A picture of a sheet, or a road log; `unusedSince` in ms from when on no stored map or build was found to need it. */
export interface PictureRecord {
  bytes: Blob;
  unusedSince?: number | undefined;
}

export interface LuglineSchema extends DBSchema {
  builds: { key: string; value: BuildRecord };
  maps: { key: string; value: MapRecord };
  pictures: { key: string; value: PictureRecord };
  /** Raw bytes of road logs, by their SHA-256. */
  logs: { key: string; value: PictureRecord };
  /** 'revision', 'store id', 'writer', 'order', 'settings', 'drafts', 'backup time', 'backup file', 'fits', 'seals'. */
  meta: { key: string; value: unknown };
}

export type LuglineDatabase = IDBPDatabase<LuglineSchema>;

export type OpenedDatabase = { ok: true; database: LuglineDatabase } | { ok: false; message: string };

export interface OpenOptions {
  name?: string;
  /** Called when this page had to let go of the database, with the reason. */
  onLost?: (why: string) => void;
  /** Called while an older program in another window keeps this one from opening. */
  onBlocked?: () => void;
}

const IN_PAGE = 'What you enter is kept in this page only: save a file before you close it.';

/** Where site data is forbidden by policy, even asking for the name throws. */
function offersStorage(): boolean {
  try {
    return typeof indexedDB !== 'undefined';
  } catch {
    return false;
  }
}

/**
 * Opens the browser's database, or says in plain words why nothing can be stored. Never throws; waits as long as the browser does, so
 * that whoever asks must have something to do meanwhile.
 */
export async function openDatabase(options: OpenOptions = {}): Promise<OpenedDatabase> {
  if (!offersStorage()) {
    return {
      ok: false,
      message: `This browser offers no storage to the page (private window, or switched off). ${IN_PAGE}`,
    };
  }
  try {
    const database = await openDB<LuglineSchema>(options.name ?? DATABASE_NAME, DATABASE_VERSION, {
      upgrade(opened, from) {
        if (from < 1) {
          opened.createObjectStore('builds');
          opened.createObjectStore('maps');
          opened.createObjectStore('meta');
        }
        if (from < 2) opened.createObjectStore('pictures');
        if (from < 3) opened.createObjectStore('logs');
      },
      blocked: () => options.onBlocked?.(),
      blocking(_current, wanted, event) {
        (event.target as IDBDatabase).close();
        options.onLost?.(
          wanted === null
            ? 'The storage of this page was cleared, here or in another window.'
            : 'Another window brings the storage to a newer form. If a newer Lugline is open there, reload this page to get it too.',
        );
      },
      terminated: () =>
        options.onLost?.('The browser closed the storage of this page: it was cleared, or the disk failed.'),
    });
    return { ok: true, database };
  } catch (error) {
    return { ok: false, message: openMessage(error) };
  }
}

function openMessage(error: unknown): string {
  const name = errorName(error);
  if (name === 'VersionError') return 'The data was stored by a newer Lugline. Reload the page to get it.';
  if (name === 'QuotaExceededError')
    return `The browser has no room left for this page: free space on the disk. ${IN_PAGE}`;
  return `The browser does not let this page store anything (private window, or storage is switched off). ${IN_PAGE}`;
}

/** What the database's errors are told apart by. */
export function errorName(error: unknown): string {
  return String((error as { name?: unknown } | null)?.name ?? '');
}
