import { type Workspace, workspaceToBackup } from '../build/index.ts';

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
