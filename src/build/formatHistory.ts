import { guardJson } from './guardJson.ts';
import { accepted, type Parsed, refused } from './parsed.ts';

type JsonObject = Record<string, unknown>;

/** One saved format: its present version, and the step from each earlier version to the next. */
export interface FormatHistory {
  format: string;
  /** As a person calls it: 'map file'. */
  calledKind: string;
  version: number;
  /** More values than this in one file of the kind are refused. */
  maxValues: number;
  /** steps[1] takes a version-1 object to version 2, and so on. */
  steps: Readonly<Record<number, (older: JsonObject) => JsonObject>>;
}

const KINDS: Readonly<Record<string, string>> = {
  'lugline-map': 'a map file',
  'lugline-build': 'a build file',
  'lugline-backup': 'a backup of everything',
};

/**
 * Checks that `json` is a file of this format and brings it to the present version. A foreign file, another Lugline format, and a
 * version that this program does not know yet are refused, each with its own sentence.
 */
export function openFormat(json: unknown, history: FormatHistory): Parsed<JsonObject> {
  const guarded = guardJson(json, history.maxValues);
  if (!guarded.ok) return guarded;
  if (typeof json !== 'object' || json === null || Array.isArray(json)) return refused(foreign(history));
  const file = json as JsonObject;
  if (file.format !== history.format) {
    const other = typeof file.format === 'string' && Object.hasOwn(KINDS, file.format) ? KINDS[file.format] : undefined;
    return refused(other === undefined ? foreign(history) : `This is ${other}, not a ${history.calledKind}.`, 'format');
  }
  const { version } = file;
  if (typeof version !== 'number' || !Number.isInteger(version) || version < 1) {
    return refused(`The version must be a whole number from 1 to ${history.version}.`, 'version');
  }
  if (version > history.version) {
    return refused(
      `This ${history.calledKind} is of version ${version}; this program reads up to version ${history.version}. Open it with a newer Lugline.`,
      'version',
    );
  }
  return stepUp(file, version, history);
}

function stepUp(file: JsonObject, from: number, history: FormatHistory): Parsed<JsonObject> {
  let current = file;
  for (let version = from; version < history.version; version += 1) {
    const step = history.steps[version];
    if (step === undefined)
      return refused(`Version ${version} of the ${history.calledKind} can no longer be read.`, 'version');
    try {
      current = { ...step(current), version: version + 1 };
    } catch {
      return refused(
        `The ${history.calledKind} is damaged: it could not be brought from version ${version} up to date.`,
      );
    }
  }
  return accepted(current);
}

function foreign(history: FormatHistory): string {
  return `This is not a Lugline ${history.calledKind}: it does not say "format": "${history.format}".`;
}
