import { type BuildFile, buildToFile, fileToBuild, parseBuildFile } from './buildFile.ts';
import type { Restored } from './commands/imports.ts';
import type { Build, MapDraft, Settings, Workspace } from './document.ts';
import { explainIssues } from './explainIssues.ts';
import { type FormatHistory, openFormat } from './formatHistory.ts';
import { accepted, type Parsed, type Problem, refused } from './parsed.ts';
import { mapDraftSchema, settingsSchema } from './schema.ts';

/** Everything of this machine in one file: all builds with their maps, the shelf, the settings. */
export interface BackupFile {
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

/** When version 2 comes, steps[1] brings a version-1 file up, and tests/fixtures keeps a version-1 file for ever. */
const HISTORY: FormatHistory = {
  format: 'lugline-backup',
  calledKind: 'backup',
  version: 1,
  maxValues: 5_000_000,
  steps: {},
};

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

/**
 * A backup (any version so far). A build or map in it that cannot be read is passed over with a note, so that one damaged part
 * does not cost the rest; a backup with nothing readable in it is refused.
 */
export function parseBackupFile(json: unknown): Parsed<Backup> {
  const opened = openFormat(json, HISTORY);
  if (!opened.ok) return opened;
  const file = opened.value;
  const lost: Problem[] = [];
  const builds = listOf(file.builds).flatMap((item, i): Build[] => {
    const parsed = parseBuildFile(item);
    if (parsed.ok) return [fileToBuild(parsed.value)];
    lost.push(passedOver(`builds[${i}]`, 'build', item, parsed.problems));
    return [];
  });
  const maps = listOf(file.shelf).flatMap((item, i): MapDraft[] => {
    const parsed = parseStoredMap(item);
    if (parsed.ok) return [parsed.value];
    lost.push(passedOver(`shelf[${i}]`, 'map', item, parsed.problems));
    return [];
  });
  if (builds.length === 0 && maps.length === 0) {
    return lost.length > 0 ? { ok: false, problems: lost } : refused('The backup holds no build and no map.');
  }
  const settings = settingsSchema.safeParse(file.settings);
  if (!settings.success)
    lost.push({ path: 'settings', message: 'The settings cannot be read; the present ones stay.' });
  const backup: Backup = {
    savedAt: typeof file.savedAt === 'string' ? file.savedAt : null,
    activeBuildId: typeof file.activeBuildId === 'string' ? file.activeBuildId : null,
    builds,
    maps,
    settings: settings.success ? settings.data : null,
  };
  return accepted(backup, lost);
}

/** The tables of one map as storage and backups keep them. */
export function parseStoredMap(json: unknown): Parsed<MapDraft> {
  const result = mapDraftSchema.safeParse(json);
  return result.success ? accepted(result.data) : { ok: false, problems: explainIssues(result.error.issues, json) };
}

/** Settings as storage keeps them. */
export function parseSettings(json: unknown): Parsed<Settings> {
  const result = settingsSchema.safeParse(json);
  return result.success ? accepted(result.data) : { ok: false, problems: explainIssues(result.error.issues, json) };
}

function listOf(value: unknown): readonly unknown[] {
  return Array.isArray(value) ? value : [];
}

function passedOver(path: string, kind: string, item: unknown, problems: readonly Problem[]): Problem {
  const name = (item as { name?: unknown } | null)?.name;
  const called = typeof name === 'string' && name !== '' ? ` '${name}'` : '';
  const first = problems[0];
  const why = first === undefined ? '' : ` (${first.path === '' ? '' : `${first.path}: `}${first.message})`;
  return { path, message: `The ${kind}${called} cannot be read and is passed over${why}.` };
}
