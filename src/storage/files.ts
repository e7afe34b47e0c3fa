import {
  type Backup,
  type Build,
  buildToFile,
  type EmbeddedPicture,
  fileToBuild,
  listTooLong,
  type MapDraft,
  type MapFile,
  mapFileToDraft,
  mapsOf,
  mapTooBig,
  type Parsed,
  parseBackupFile,
  parseBuildFile,
  pictureOfMapFile,
  readJsonText,
  refused,
} from '../build/index.ts';
import type { KeptAside } from './load.ts';
import type { FileToSave } from './saveFile.ts';

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
    return refused(
      `The file is too large (${size} MB; at most ${LARGEST_FILE_BYTES / 1024 / 1024} MB). It is not read.`,
    );
  }
  let text: string;
  try {
    text = await file.text();
  } catch {
    return refused('The browser cannot read the file. It may have been moved or locked: open it again.');
  }
  return openFileText(text, freshId);
}

/** The same for a text that is at hand already. */
export function openFileText(text: string, freshId: string): Parsed<OpenedFile> {
  const json = readJsonText(text);
  if (!json.ok) return json;
  const opened = openJson(json, freshId);
  return opened.ok ? { ...opened, notes: [...json.notes, ...opened.notes] } : opened;
}

function openJson(json: { value: unknown }, freshId: string): Parsed<OpenedFile> {
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
      return refused(
        'This is not a Lugline file. Lugline opens the map, build and backup files that it saves itself (.json), and road logs as text (.csv, .txt).',
      );
  }
}

/** A single file from outside with a table beyond all measure is refused; a backup is not, it holds what was here already. */
function checked(maps: readonly MapDraft[], opened: Parsed<OpenedFile>): Parsed<OpenedFile> {
  for (const map of maps) {
    const message = mapTooBig(map);
    if (message !== null) return refused(message);
  }
  const tooLong = opened.ok ? listTooLong(opened.value) : null;
  return tooLong === null ? opened : { ok: false, problems: [tooLong] };
}

/** A map as a file. */
export function mapFileToSave(map: MapFile): FileToSave {
  return { name: fileName(map.name, 'map'), text: pretty(map) };
}

/** A build with its maps as a file. */
export function buildFileToSave(build: Build): FileToSave {
  return { name: fileName(build.name, 'build'), text: pretty(buildToFile(build)) };
}

/** A record that could not be read, as it stands in the database. */
export function keptAsideToSave(record: KeptAside): FileToSave {
  return { name: fileName(record.name ?? record.key, 'unreadable'), text: pretty(record.raw) ?? 'null' };
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
