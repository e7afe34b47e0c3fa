/**
 * The one gate between the document and the world outside: the browser's database, files, backups. Knows no store and no view.
 *
 * - `WorkspaceKeeper`: loads, saves within a second what changed, brings several windows together, goes on in memory without storage.
 * - `BackupKeeper`: one backup file of everything, written again by itself where the browser lets a page keep a file.
 * - `FitKeeper`: fits maps, and keeps what was found for the next visit.
 * - `openFile`, `pickFiles`, `downloadFile` and what makes the files.
 */
export { BackupKeeper } from './backupKeeper.ts';
export { ByteKeeper } from './byteKeeper.ts';
export { DATABASE_NAME } from './database.ts';
export {
  buildFileToSave,
  keptAsideToSave,
  mapFileToSave,
  type OpenedFile,
  openFile,
} from './files.ts';
export { FitKeeper } from './fitKeeper.ts';
export { loadGate } from './gateDoor.ts';
export { flushOnLeave } from './leavingNote.ts';
export type { KeptAside, StoredState } from './load.ts';
export {
  type BackupStatus,
  backupFileToSave,
  backupStatus,
  browserSavePicker,
  downloadFile,
  pickFiles,
  readBackupRecord,
} from './saveFile.ts';
export type { AdoptedNews, KeeperStatus } from './status.ts';
export { WorkspaceKeeper } from './workspaceKeeper.ts';
