import { type Workspace, workspaceToBackup } from '../build/index.ts';
import type { LuglineDatabase } from './database.ts';

/* What must be at hand whatever became of the network: saving everything as a file. And the browser's dialog, which needs the click. */

/** A file to be saved: its name and its text. */
export interface FileToSave {
  name: string;
  text: string;
}

/** Everything as one file. `now` in ms since 1970. */
export function backupFileToSave(workspace: Workspace, now: number): FileToSave {
  const savedAt = new Date(now).toISOString();
  return {
    name: `lugline-backup-${savedAt.slice(0, 10)}.json`,
    text: JSON.stringify(workspaceToBackup(workspace, savedAt)),
  };
}

/** Hands the file to the browser's download. Needs a page. */
export function downloadFile(file: FileToSave): void {
  const url = URL.createObjectURL(new Blob([file.text], { type: 'application/json' }));
  const link = document.createElement('a');
  link.href = url;
  link.download = file.name;
  link.click();
  // Some browsers begin the download only after the click has returned.
  setTimeout(() => URL.revokeObjectURL(url), 10_000);
}

/** Lets the user choose files to open; an empty list when the dialog is closed without one. Call it from a click. */
export function pickFiles(): Promise<File[]> {
  return new Promise((resolve) => {
    const input = document.createElement('input');
    input.type = 'file';
    input.accept = '.json,application/json,.csv,.txt,.log,.tsv,.dat,.asc,text/csv';
    input.multiple = true;
    input.addEventListener('change', () => resolve([...(input.files ?? [])]));
    input.addEventListener('cancel', () => resolve([]));
    input.click();
  });
}

/* What is known of the backup file from earlier visits: enough to say how safe the data is before the keeper of the file has come. */

type Permission = 'granted' | 'denied' | 'prompt';

/** The part of the browser's file handle that is used; the two permission calls exist only in some browsers. */
export interface BackupHandle {
  readonly name: string;
  createWritable(): Promise<{ write(text: string): Promise<void>; close(): Promise<void> }>;
  queryPermission?(how: { mode: 'readwrite' }): Promise<Permission>;
  requestPermission?(how: { mode: 'readwrite' }): Promise<Permission>;
}

export interface BackupStatus {
  /** Last time that everything was written to a file, ms. */
  lastFileSavedAt: number | null;
  /** The file that is written again by itself; null: none was chosen. */
  keptFileName: string | null;
  /** The browser asks for a click before it lets the page write to the file again. */
  keptFileNeedsPermission: boolean;
  keptFileProblem: string | null;
}

/** Where handle and time are kept between visits. */
export type BackupStore = Pick<LuglineDatabase, 'get' | 'put'>;

export interface BackupRecord {
  handle: BackupHandle | null;
  lastFileSavedAt: number | null;
}

export type SavePicker = (options: { suggestedName: string; types: readonly unknown[] }) => Promise<BackupHandle>;

export const NO_RECORD: BackupRecord = { handle: null, lastFileSavedAt: null };

/** The browser's dialog for a file that may be written again, where it has one. */
export function browserSavePicker(): SavePicker | undefined {
  const picker = (globalThis as { showSaveFilePicker?: SavePicker }).showSaveFilePicker;
  return picker?.bind(globalThis);
}

/** Reads it, and whether the browser lets the page write the file. Never throws. */
export async function readBackupRecord(
  database: BackupStore | null,
): Promise<{ record: BackupRecord; allowed: boolean }> {
  let record = NO_RECORD;
  try {
    const time: unknown = await database?.get('meta', 'backup time');
    const kept = (await database?.get('meta', 'backup file')) as Partial<BackupHandle> | null | undefined;
    const lastFileSavedAt = typeof time === 'number' ? time : null;
    const handle = typeof kept?.createWritable === 'function' ? (kept as BackupHandle) : null;
    record = { handle, lastFileSavedAt };
    return { record, allowed: handle !== null && (await permissionOf(handle)) === 'granted' };
  } catch {
    return { record, allowed: false };
  }
}

export function backupStatus(
  { handle, lastFileSavedAt }: BackupRecord,
  allowed: boolean,
  keptFileProblem: string | null = null,
): BackupStatus {
  return {
    lastFileSavedAt,
    keptFileName: handle?.name ?? null,
    keptFileNeedsPermission: handle !== null && !allowed,
    keptFileProblem,
  };
}

export async function permissionOf(handle: BackupHandle): Promise<Permission> {
  return (await handle.queryPermission?.({ mode: 'readwrite' })) ?? 'granted';
}
