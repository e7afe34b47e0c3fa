import type { AuditFinding, MapSheet } from '../compressor/types.ts';
import type { TurbineSheet } from '../turbine/types.ts';
import { draftToSheet, sheetToDraft } from './compressorSheet.ts';
import type { MapDraft } from './document.ts';
import { sameContent } from './document.ts';
import { accepted, explainIssues, type FormatHistory, openFormat, type Parsed, refused } from './openFormat.ts';
import {
  compressorFileSchema,
  enteredTablesSchema,
  mapSheetSchema,
  turbineFileSchema,
  turbineFileSheetSchema,
} from './schema.ts';
import { isTurbineSheet } from './sheetKind.ts';
import { embeddedPictureSchema } from './tracing.ts';
import {
  draftToTurbineSheet,
  type ReadTurbineSheet,
  type TurbineFileSheet,
  turbineSheetOfFile,
  turbineSheetToDraft,
  turbineSheetToFile,
} from './turbineSheet.ts';

/** The map file: the sheet's numbers and, beside them, the text tables that they were typed as. Of a compressor or of a turbine. */
export type MapFile = CompressorFile | TurbineFile;

interface BesideNumbers {
  /** By which the shelf knows a map that comes back. */
  id?: string | undefined;
  entered?: Omit<MapDraft, 'id'> | undefined;
  /** The picture of the sheet that the tables were traced from, where it is kept with the map. */
  picture?: EmbeddedPicture | undefined;
}

export interface CompressorFile extends MapSheet, BesideNumbers {
  /** Left out in files: a compressor map. */
  kind?: 'compressor' | undefined;
}

export interface TurbineFile extends TurbineFileSheet, BesideNumbers {}

/** What a map file holds. A compressor map has no `kind`: `if (sheet.kind === 'turbine')` tells the two apart. */
export type SheetOfFile = (MapSheet & { kind?: undefined }) | ReadTurbineSheet;

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
 * A map file (any version so far) to the sheet it describes, in the sheet's own units: a compressor map for fitSurface, or a turbine sheet
 * (`kind` 'turbine') for fitCapacity. Properties that are not known are left out. Gives a list of problems with their paths when the
 * file is foreign, damaged or of a later version.
 */
export function parseMapFile(json: unknown): Parsed<SheetOfFile> {
  const opened = openFormat(json, HISTORY);
  if (!opened.ok) return opened;
  switch (opened.value.kind) {
    case undefined:
    case 'compressor':
      return parseCompressor(opened.value);
    case 'turbine':
      return parseTurbine(opened.value);
    default:
      return refused('The kind of sheet is not known here; it must be "compressor" or "turbine".', 'kind');
  }
}

function parseCompressor(file: Record<string, unknown>): Parsed<MapSheet> {
  const result = mapSheetSchema.safeParse(file);
  return result.success ? accepted(result.data) : { ok: false, problems: explainIssues(result.error.issues, file) };
}

function parseTurbine(file: Record<string, unknown>): Parsed<ReadTurbineSheet> {
  const result = turbineFileSheetSchema.safeParse(file);
  if (!result.success) return { ok: false, problems: explainIssues(result.error.issues, file) };
  const sheet = turbineSheetOfFile(result.data);
  return Array.isArray(sheet) ? { ok: false, problems: sheet } : accepted(sheet);
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
  const isTurbine = sheet.value.kind === 'turbine';
  const fromNumbers =
    sheet.value.kind === 'turbine' ? turbineSheetToDraft(sheet.value, id) : sheetToDraft(sheet.value, id);
  const entered = (json as { entered?: unknown }).entered;
  if (entered === undefined) return accepted(fromNumbers);
  const tables = enteredTablesSchema.safeParse(entered);
  if (tables.success && isTurbineSheet(tables.data) === isTurbine) {
    const draft: MapDraft = { id, ...tables.data };
    if (sameContent(sheetOfDraft(draft), sheet.value)) return accepted(draft);
  }
  const message = 'The text as typed does not agree with the numbers of the file; the numbers were taken.';
  return accepted(fromNumbers, [{ path: 'entered', message }]);
}

/** What parseMapFile would give of the draft's file; null where no sheet can be made of it. */
function sheetOfDraft(draft: MapDraft): SheetOfFile | null {
  if (!isTurbineSheet(draft)) {
    const reading = draftToSheet(draft);
    return reading.ok ? reading.sheet : null;
  }
  const reading = draftToTurbineSheet(draft);
  return reading.ok ? { kind: 'turbine', ...reading.sheet } : null;
}

/** The picture that a map file carries; null where it carries none, or something else in its place. */
export function pictureOfMapFile(json: unknown): EmbeddedPicture | null {
  const picture = embeddedPictureSchema.safeParse((json as { picture?: unknown } | null)?.picture);
  return picture.success ? picture.data : null;
}

/** A compressor map as a map file, numbers as they stand. */
export function sheetToMapFile(sheet: MapSheet): CompressorFile {
  return compressorFileSchema.parse(sheet);
}

/** A turbine sheet as a map file, numbers as they stand. */
export function turbineSheetToMapFile(sheet: TurbineSheet): TurbineFile {
  return turbineFileSchema.parse(turbineSheetToFile(sheet));
}

/**
 * The tables as a map file: their numbers and the text they were typed as. Refused only where no sheet can be made of them (what the flows
 * are cannot be read); the build file and the backup keep such a map as it stands.
 */
export function draftToMapFile(draft: MapDraft): Parsed<MapFile> {
  const { id, ...entered } = draft;
  const notes = (problems: readonly AuditFinding[]) =>
    problems.map((problem) => ({ path: 'entered', message: problem.message }));
  const none = (problems: readonly AuditFinding[]) =>
    refused(problems.map((problem) => problem.message).join(' '), 'reference');
  if (isTurbineSheet(draft)) {
    const reading = draftToTurbineSheet(draft);
    if (!reading.ok) return none(reading.problems);
    return accepted({ ...turbineSheetToFile(reading.sheet), id, entered }, notes(reading.problems));
  }
  const reading = draftToSheet(draft);
  if (!reading.ok) return none(reading.problems);
  return accepted({ ...reading.sheet, id, entered }, notes(reading.problems));
}
