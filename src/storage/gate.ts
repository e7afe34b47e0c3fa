import {
  type Build,
  fileToBuild,
  type MapDraft,
  type Parsed,
  parseBuildFile,
  parseSettings,
  parseStoredMap,
} from '../build/index.ts';

/*
 * What lets in what this program cannot vouch for (seals.ts): records of another version or damaged, what leaving pages put down, what
 * another window wrote meanwhile. A late part: the first picture waits for it only where there is something of the kind.
 */

export { join, keepDrafted, sameObjects, withOpenBuild } from './bringTogether.ts';
export { mergeStates } from './merge.ts';
export { takeLeavingNotes } from './takeNotes.ts';

/** A stored build, of any version so far. */
export function readBuild(record: unknown): Parsed<Build> {
  const parsed = parseBuildFile((record as { file?: unknown } | null)?.file);
  return parsed.ok ? { ...parsed, value: fileToBuild(parsed.value) } : parsed;
}

/** A stored map, of any version so far. */
export function readMap(record: unknown): Parsed<MapDraft> {
  const { version, draft } = (record ?? {}) as { version?: unknown; draft?: unknown };
  if (typeof version === 'number' && version > 1) {
    const message = `This map was stored by a newer Lugline (version ${version}). Open it with that one.`;
    return { ok: false, problems: [{ path: 'version', message }] };
  }
  return parseStoredMap(draft);
}

export const readSettings = parseSettings;
