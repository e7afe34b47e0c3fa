import type { MapSheet } from '../compressor/types.ts';
import type { MapDraft } from './document.ts';
import { type DraftReading, draftToSheet } from './draftToSheet.ts';
import { explainIssues } from './explainIssues.ts';
import { type FormatHistory, openFormat } from './formatHistory.ts';
import { accepted, type Parsed, refused } from './parsed.ts';
import { sameContent } from './sameContent.ts';
import { enteredTablesSchema, mapFileSchema, mapSheetSchema } from './schema.ts';
import { sheetToDraft } from './sheetToDraft.ts';
import { embeddedPictureSchema } from './tracingSchema.ts';

/** The map file: the sheet's numbers and, beside them, the text tables that they were typed as. */
export interface MapFile extends MapSheet {
  /** By which the shelf knows a map that comes back. */
  id?: string | undefined;
  entered?: Omit<MapDraft, 'id'> | undefined;
  /** The picture of the sheet that the tables were traced from, where it is kept with the map. */
  picture?: EmbeddedPicture | undefined;
}

/** A picture as it stands in a map file: PNG, JPEG or WebP, its bytes in base64. */
export interface EmbeddedPicture {
  type: 'image/png' | 'image/jpeg' | 'image/webp';
  data: string;
}

/** When version 2 comes, steps[1] brings a version-1 file up, and tests/fixtures keeps a version-1 file for ever. */
const HISTORY: FormatHistory = {
  format: 'lugline-map',
  calledKind: 'map file',
  version: 1,
  maxValues: 400_000,
  steps: {},
};

/**
 * A map file (any version so far) to the sheet it describes, in the sheet's own units. Properties that are not known are left out.
 * Gives a list of problems with their paths when the file is foreign, damaged or of a later version.
 */
export function parseMapFile(json: unknown): Parsed<MapSheet> {
  const opened = openFormat(json, HISTORY);
  if (!opened.ok) return opened;
  const result = mapSheetSchema.safeParse(opened.value);
  return result.success
    ? accepted(result.data)
    : { ok: false, problems: explainIssues(result.error.issues, opened.value) };
}

/**
 * A map file to the tables of the Maps view. The text as it was typed is used where the file carries it and it agrees with the
 * numbers; a file whose numbers were changed elsewhere is taken by its numbers, with a note. `freshId` serves where the file has no id.
 */
export function mapFileToDraft(json: unknown, freshId: string): Parsed<MapDraft> {
  const sheet = parseMapFile(json);
  if (!sheet.ok) return sheet;
  const ownId = (json as { id?: unknown }).id;
  const id = typeof ownId === 'string' && ownId !== '' ? ownId : freshId;
  const fromNumbers = sheetToDraft(sheet.value, id);
  const entered = (json as { entered?: unknown }).entered;
  if (entered === undefined) return accepted(fromNumbers);
  const tables = enteredTablesSchema.safeParse(entered);
  if (tables.success) {
    const draft: MapDraft = { id, ...tables.data };
    const reading = draftToSheet(draft);
    if (reading.ok && sameContent(reading.sheet, sheet.value)) return accepted(draft);
  }
  const message = 'The text as typed does not agree with the numbers of the file; the numbers were taken.';
  return accepted(fromNumbers, [{ path: 'entered', message }]);
}

/** The picture that a map file carries; null where it carries none, or something else in its place. */
export function pictureOfMapFile(json: unknown): EmbeddedPicture | null {
  const picture = embeddedPictureSchema.safeParse((json as { picture?: unknown } | null)?.picture);
  return picture.success ? picture.data : null;
}

/** A sheet as a map file, numbers as they stand. */
export function sheetToMapFile(sheet: MapSheet): MapFile {
  return mapFileSchema.parse(sheet);
}

/**
 * The tables as a map file: their numbers and the text they were typed as. Refused only where no sheet can be made of them (the
 * reference state cannot be read); the build file and the backup keep such a map as it stands.
 */
export function draftToMapFile(draft: MapDraft): Parsed<MapFile> {
  const reading: DraftReading = draftToSheet(draft);
  if (!reading.ok) return refused(reading.problems.map((problem) => problem.message).join(' '), 'reference');
  const { id, ...entered } = draft;
  const notes = reading.problems.map((problem) => ({ path: 'entered', message: problem.message }));
  return accepted({ ...reading.sheet, id, entered }, notes);
}
