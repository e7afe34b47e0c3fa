import {
  type Backup,
  type Build,
  type EmbeddedPicture,
  fileToBuild,
  type MapDraft,
  mapFileToDraft,
  mapsOf,
  mapTooBig,
  type Parsed,
  parseBackupFile,
  parseBuildFile,
  pictureOfMapFile,
  readJsonText,
} from '../build/index.ts';

/** Beyond this a file is not read at all; a backup of a thousand builds is smaller, and so is a map with its picture. */
export const LARGEST_FILE_BYTES = 100 * 1024 * 1024;

export type OpenedFile =
  | { kind: 'map'; map: MapDraft; picture: EmbeddedPicture | null }
  | { kind: 'build'; build: Build }
  | { kind: 'backup'; backup: Backup };

/** The part of the browser's File that is used. */
export interface FileLike {
  name: string;
  size: number;
  text(): Promise<string>;
}

/**
 * Reads a map, build or backup file that the user gave. Size is checked before anything is read; every kind of damage gives
 * problems in plain words and changes nothing. `freshId` serves for a map whose file has no id.
 */
export async function openFile(file: FileLike, freshId: string): Promise<Parsed<OpenedFile>> {
  if (file.size > LARGEST_FILE_BYTES) {
    const size = Math.round(file.size / 1024 / 1024);
    return refuse(
      `The file is too large (${size} MB; at most ${LARGEST_FILE_BYTES / 1024 / 1024} MB). It is not read.`,
    );
  }
  let text: string;
  try {
    text = await file.text();
  } catch {
    return refuse('The browser cannot read the file. It may have been moved or locked: open it again.');
  }
  return openFileText(text, freshId);
}

/** The same for a text that is at hand already. */
export function openFileText(text: string, freshId: string): Parsed<OpenedFile> {
  const json = readJsonText(text);
  if (!json.ok) return json;
  switch ((json.value as { format?: unknown } | null)?.format) {
    case 'lugline-map': {
      const map = mapFileToDraft(json.value, freshId);
      return map.ok
        ? checked([map.value], {
            ...map,
            value: { kind: 'map', map: map.value, picture: pictureOfMapFile(json.value) },
          })
        : map;
    }
    case 'lugline-build': {
      const file = parseBuildFile(json.value);
      if (!file.ok) return file;
      const build = fileToBuild(file.value);
      return checked(build.candidates.flatMap(mapsOf), { ...file, value: { kind: 'build', build } });
    }
    case 'lugline-backup': {
      const backup = parseBackupFile(json.value);
      return backup.ok ? { ...backup, value: { kind: 'backup', backup: backup.value } } : backup;
    }
    default:
      return refuse(
        'This is not a Lugline file. Lugline opens the map, build and backup files that it saves itself (.json).',
      );
  }
}

/** A single file from outside with a map beyond all measure is refused; a backup is not, it holds what was here already. */
function checked(maps: readonly MapDraft[], opened: Parsed<OpenedFile>): Parsed<OpenedFile> {
  for (const map of maps) {
    const message = mapTooBig(map);
    if (message !== null) return refuse(message);
  }
  return opened;
}

function refuse(message: string): Parsed<never> {
  return { ok: false, problems: [{ path: '', message }] };
}
