import type { Restored } from './commands/shelf.ts';
import type { Build, MapDraft, Settings, Workspace } from './document.ts';

/** The build file: the build as it stands, its maps embedded, so that one file re-opens everything. */
export interface BuildFile extends Build {
  format: 'lugline-build';
  version: 1;
}

/** The build as a file. */
export function buildToFile(build: Build): BuildFile {
  return { format: 'lugline-build', version: 1, ...build };
}

/** The build without the file's own two marks. */
export function fileToBuild(file: BuildFile): Build {
  const { format: _format, version: _version, ...build } = file;
  return build;
}

/** Everything of this machine in one file: all builds with their maps, the shelf, the settings. */
interface BackupFile {
  format: 'lugline-backup';
  version: 1;
  /** When it was written, ISO 8601. */
  savedAt: string;
  activeBuildId: string;
  /** In the order of the list. */
  builds: readonly BuildFile[];
  shelf: readonly MapDraft[];
  settings: Settings;
}

export interface Backup extends Restored {
  savedAt: string | null;
}

/** The workspace as a backup. `savedAt` in ISO 8601. */
export function workspaceToBackup(workspace: Workspace, savedAt: string): BackupFile {
  const present = <T>(value: T | undefined): T[] => (value === undefined ? [] : [value]);
  return {
    format: 'lugline-backup',
    version: 1,
    savedAt,
    activeBuildId: workspace.activeBuildId,
    builds: workspace.buildOrder.flatMap((id) => present(workspace.builds[id])).map(buildToFile),
    shelf: workspace.shelfOrder.flatMap((id) => present(workspace.shelf[id])),
    settings: workspace.settings,
  };
}

/** The demonstration with its maps and sheets, out of the first script: only a fresh profile needs it. */
export const loadDemo = () => import('./demo.ts');
