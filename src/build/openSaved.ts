import { formatNumber } from '../units/index.ts';
import {
  accepted,
  type Candidate,
  type MapDraft,
  type Parsed,
  type Problem,
  refused,
  type Settings,
  sameContent,
  withMapsOf,
} from './document.ts';
import { mapFileToDraft } from './mapFile.ts';
import { FORMATS, firstOf, openFormat, parseBy } from './openFormat.ts';
import { type Backup, type BuildFile, fileToBuild } from './savedFiles.ts';
import { buildFileSchema, mapDraftSchema, settingsSchema } from './schema.ts';

/**
 * A build file (any version so far). A candidate's map, donor or turbine sheet may stand as the tables that Lugline writes or as
 * a whole map file ("format": "lugline-map"). Gives a list of problems with their paths when the file is foreign, damaged or of a later
 * version.
 */
export function parseBuildFile(json: unknown): Parsed<BuildFile> {
  const opened = openFormat(json, FORMATS.build);
  if (!opened.ok) return opened;
  const { file, problems, notes } = withMapFilesOpened(opened.value);
  const read = parseBy(buildFileSchema, file);
  if (!read.ok) return { ok: false, problems: [...problems, ...read.problems] };
  if (problems.length > 0) return { ok: false, problems };
  return accepted({ ...read.value, candidates: sharingMaps(read.value.candidates) }, notes);
}

/** Sheets that a candidate may carry, and what their ids are made of where a file has none. */
const SHEETS = [
  { part: 'map', called: 'map' },
  { part: 'donor', called: 'donor' },
  { part: 'turbineSheet', called: 'turbine' },
] as const;

function withMapFilesOpened(file: Record<string, unknown>) {
  const problems: Problem[] = [];
  const notes: Problem[] = [];
  if (!Array.isArray(file.candidates)) return { file, problems, notes };
  const opened = (map: unknown, path: string, freshId: string): unknown => {
    if (typeof map !== 'object' || map === null || (map as { format?: unknown }).format === undefined) return map;
    const draft = mapFileToDraft(map, freshId);
    const inside = (p: Problem) => ({ ...p, path: `${path}${p.path === '' ? '' : `.${p.path}`}` });
    if (draft.ok) {
      notes.push(...draft.notes.map(inside));
      return draft.value;
    }
    problems.push(...draft.problems.map(inside));
    return null;
  };
  const candidates = file.candidates.map((candidate: unknown, index) => {
    if (typeof candidate !== 'object' || candidate === null) return candidate;
    const at = `candidates[${index}]`;
    const carried = candidate as Record<string, unknown>;
    const maps = Object.fromEntries(
      SHEETS.filter(({ part }) => carried[part] !== undefined).map(({ part, called }) => {
        const freshId = `${String(file.id)}-${called}-${index + 1}`;
        return [part, opened(carried[part], `${at}.${part}`, freshId)];
      }),
    );
    return { ...candidate, ...maps };
  });
  return { file: { ...file, candidates }, problems, notes };
}

/** Candidates that carry the same map carry the same object; two different maps never carry the same id. */
function sharingMaps(candidates: readonly Candidate[]): Candidate[] {
  const seen = new Map<string, MapDraft>();
  let made = 0;
  return candidates.map((candidate) =>
    withMapsOf(candidate, (map) => {
      made += 1;
      const first = seen.get(map.id);
      if (first !== undefined && sameContent(first, map)) return first;
      const settled = first === undefined ? map : { ...map, id: `${map.id}-${made}` };
      seen.set(settled.id, settled);
      return settled;
    }),
  );
}

/**
 * A backup (any version so far). A build or map in it that cannot be read is passed over with a note, so that one damaged part
 * does not cost the rest; a backup with nothing readable in it is refused.
 */
export function parseBackupFile(json: unknown): Parsed<Backup> {
  const opened = openFormat(json, FORMATS.backup);
  if (!opened.ok) return opened;
  const file = opened.value;
  const builds = readEntries(file.builds, 'builds', 'build', parseBuildFile);
  const shelf = readEntries(file.shelf, 'shelf', 'map', parseStoredMap);
  const lost = [...builds.lost, ...shelf.lost];
  if (builds.gaveUp || shelf.gaveUp)
    return refused(
      `More than ${formatNumber(MOST_LOST, 0)} entries cannot be read: Lugline writes no such backup. Nothing of it is taken.`,
    );
  if (builds.read.length === 0 && shelf.read.length === 0) {
    return lost.length > 0 ? { ok: false, problems: firstOf(lost) } : refused('The backup holds no build and no map.');
  }
  const settings = settingsSchema.safeParse(file.settings);
  if (!settings.success)
    lost.push({ path: 'settings', message: 'The settings cannot be read; the present ones stay.' });
  const backup: Backup = {
    savedAt: typeof file.savedAt === 'string' ? file.savedAt : null,
    activeBuildId: typeof file.activeBuildId === 'string' ? file.activeBuildId : null,
    builds: builds.read.map(fileToBuild),
    maps: shelf.read,
    settings: settings.success ? settings.data : null,
  };
  return accepted(backup, firstOf(lost));
}

/** The tables of one map as storage and backups keep them. */
export function parseStoredMap(json: unknown): Parsed<MapDraft> {
  return parseBy(mapDraftSchema, json);
}

/** Settings as storage keeps them. */
export function parseSettings(json: unknown): Parsed<Settings> {
  return parseBy(settingsSchema, json);
}

/** Beyond so many entries that cannot be read, nobody looks for one that can. */
const MOST_LOST = 500;

function readEntries<T>(list: unknown, path: string, kind: string, parse: (item: unknown) => Parsed<T>) {
  const read: T[] = [];
  const lost: Problem[] = [];
  for (const [i, item] of (Array.isArray(list) ? list : []).entries()) {
    const parsed = parse(item);
    if (parsed.ok) read.push(parsed.value);
    else lost.push(passedOver(`${path}[${i}]`, kind, item, parsed.problems));
    if (lost.length > MOST_LOST) return { read, lost, gaveUp: true };
  }
  return { read, lost, gaveUp: false };
}

function passedOver(path: string, kind: string, item: unknown, problems: readonly Problem[]): Problem {
  const name = (item as { name?: unknown } | null)?.name;
  const called = typeof name === 'string' && name !== '' ? ` '${name}'` : '';
  const first = problems[0];
  const why = first === undefined ? '' : ` (${first.path === '' ? '' : `${first.path}: `}${first.message})`;
  return { path, message: `The ${kind}${called} cannot be read and is passed over${why}.` };
}
