import type { AuditFinding, MapSheet } from '../compressor/types.ts';
import type { TurbineSheet } from '../turbine/types.ts';
import { draftToSheet, sheetToDraft } from './compressorSheet.ts';
import { accepted, type MapDraft, type Parsed, refused, sameContent } from './document.ts';
import { type SheetKindKey, sheetKindOf } from './draftCells.ts';
import { FORMATS, openFormat, parseBy } from './openFormat.ts';
import type { CompressorFile, TurbineFile, TurbineFileSheet } from './schema.ts';
import {
  compressorFileSchema,
  enteredTablesSchema,
  mapSheetSchema,
  turbineFileSchema,
  turbineFileSheetSchema,
} from './schema.ts';
import type { EmbeddedPicture } from './tracing.ts';
import { embeddedPictureSchema } from './tracing.ts';
import { type ReadTurbineSheet, turbineSheetOfFile, turbineSheetToDraft, turbineSheetToFile } from './turbineFile.ts';
import { draftToTurbineSheet } from './turbineSheet.ts';

/** The map file: the sheet's numbers and, beside them, the text tables that they were typed as. Of a compressor or of a turbine. */
export type MapFile = CompressorFile | TurbineFile;

/** What a map file holds. A compressor map has no `kind`: `if (sheet.kind === 'turbine')` tells the two apart. */
export type SheetOfFile = (MapSheet & { kind?: undefined }) | ReadTurbineSheet;

/**
 * A map file (any version so far) to the sheet it describes, in the sheet's own units: a compressor map for fitSurface, or a turbine sheet
 * (`kind` 'turbine') for fitCapacity. Properties that are not known are left out. Gives a list of problems with their paths when the
 * file is foreign, damaged or of a later version.
 */
export function parseMapFile(json: unknown): Parsed<SheetOfFile> {
  const opened = openSheet(json);
  return opened.ok ? accepted(opened.value.sheet) : opened;
}

function openSheet(json: unknown) {
  const opened = openFormat(json, FORMATS.map);
  if (!opened.ok) return opened;
  const { kind = 'compressor' } = opened.value;
  const found = Object.entries(sheetKinds).find(([key]) => key === kind)?.[1];
  if (found !== undefined) return found.ofFile(opened.value);
  const known = Object.keys(sheetKinds).map((key) => `"${key}"`);
  return refused(`The kind of sheet is not known here; it must be ${known.join(' or ')}.`, 'kind');
}

/** What files have to know of a kind of sheets. */
interface SheetKind {
  /** The numbers of a map file of this kind with the tables that they make, or what is wrong with them. */
  ofFile(file: Record<string, unknown>): Parsed<{ sheet: SheetOfFile; toDraft: (id: string) => MapDraft }>;
  /** The numbers of the tables, as parseMapFile would give them and as they stand in a file; or why there are none. */
  read(
    draft: MapDraft,
  ):
    | { ok: true; sheet: SheetOfFile; numbers: MapSheet | TurbineFileSheet; problems: readonly AuditFinding[] }
    | { ok: false; problems: readonly AuditFinding[] };
}

/** Here and not beside the tables of each kind: only what comes from outside needs the schemas, and no worker reads files. */
const sheetKinds: Readonly<Record<SheetKindKey, SheetKind>> = {
  compressor: {
    ofFile(file) {
      const read = parseBy(mapSheetSchema, file);
      return read.ok ? accepted({ sheet: read.value, toDraft: (id) => sheetToDraft(read.value, id) }) : read;
    },
    read(draft) {
      const reading = draftToSheet(draft);
      return reading.ok ? { ...reading, numbers: reading.sheet } : reading;
    },
  },
  turbine: {
    ofFile(file) {
      const read = parseBy(turbineFileSheetSchema, file);
      if (!read.ok) return read;
      const sheet = turbineSheetOfFile(read.value);
      if (Array.isArray(sheet)) return { ok: false, problems: sheet };
      return accepted({ sheet, toDraft: (id) => turbineSheetToDraft(sheet, id) });
    },
    read(draft) {
      const reading = draftToTurbineSheet(draft);
      if (!reading.ok) return reading;
      return { ...reading, sheet: { kind: 'turbine', ...reading.sheet }, numbers: turbineSheetToFile(reading.sheet) };
    },
  },
};

/**
 * A map file to the tables of the Maps view. The text as it was typed is used where the file carries it and it agrees with the
 * numbers; a file whose numbers were changed elsewhere is taken by its numbers, with a note. `freshId` serves where the file has no id.
 */
export function mapFileToDraft(json: unknown, freshId: string): Parsed<MapDraft> {
  const opened = openSheet(json);
  if (!opened.ok) return opened;
  const { sheet, toDraft } = opened.value;
  const file = json as { id?: unknown; entered?: unknown };
  const id = typeof file.id === 'string' && file.id !== '' ? file.id : freshId;
  if (file.entered === undefined) return accepted(toDraft(id));
  const tables = enteredTablesSchema.safeParse(file.entered);
  if (tables.success && sheetKindOf(tables.data) === (sheet.kind ?? 'compressor')) {
    const draft: MapDraft = { id, ...tables.data };
    const reading = sheetKinds[sheetKindOf(draft)].read(draft);
    if (reading.ok && sameContent(reading.sheet, sheet)) return accepted(draft);
  }
  const message = 'The text as typed does not agree with the numbers of the file; the numbers were taken.';
  return accepted(toDraft(id), [{ path: 'entered', message }]);
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
  const reading = sheetKinds[sheetKindOf(draft)].read(draft);
  const messages = reading.problems.map(({ message }) => message);
  if (!reading.ok) return refused(messages.join(' '), 'reference');
  return accepted(
    { ...reading.numbers, id, entered },
    messages.map((message) => ({ path: 'entered', message })),
  );
}
