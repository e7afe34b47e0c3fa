import { type Build, buildToFile, type MapFile, type Workspace, workspaceToBackup } from '../build/index.ts';
import type { KeptAside } from './storedState.ts';

/** A file to be saved: its name and its text. */
export interface FileToSave {
  name: string;
  text: string;
}

/** A map as a file. */
export function mapFileToSave(map: MapFile): FileToSave {
  return { name: fileName(map.name, 'map'), text: pretty(map) };
}

/** A build with its maps as a file. */
export function buildFileToSave(build: Build): FileToSave {
  return { name: fileName(build.name, 'build'), text: pretty(buildToFile(build)) };
}

/** Everything as one file. `now` in ms since 1970. */
export function backupFileToSave(workspace: Workspace, now: number): FileToSave {
  const savedAt = new Date(now).toISOString();
  return {
    name: `lugline-backup-${savedAt.slice(0, 10)}.json`,
    text: JSON.stringify(workspaceToBackup(workspace, savedAt)),
  };
}

/** A record that could not be read, as it stands in the database. */
export function keptAsideToSave(record: KeptAside): FileToSave {
  return { name: fileName(record.name ?? record.key, 'unreadable'), text: pretty(record.raw) ?? 'null' };
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
    input.accept = '.json,application/json';
    input.multiple = true;
    input.addEventListener('change', () => resolve([...(input.files ?? [])]));
    input.addEventListener('cancel', () => resolve([]));
    input.click();
  });
}

function fileName(name: string, kind: string): string {
  const plain = name
    .normalize('NFKD')
    .replace(/[^\p{L}\p{N}]+/gu, '-')
    .replace(/^-+|-+$/g, '')
    .slice(0, 60);
  return `${plain === '' ? 'untitled' : plain}.lugline-${kind}.json`;
}

function pretty(value: unknown): string {
  return JSON.stringify(value, null, 1);
}
