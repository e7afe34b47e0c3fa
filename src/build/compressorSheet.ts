import { boundaryLine, islandContours, speedLine, tryFitSurface } from '../compressor/index.ts';
import type {
  AuditFinding,
  CompressorSurface,
  FitResult,
  Island,
  IslandContour,
  MapPolyline,
  MapSheet,
  ReferenceState,
  SheetPlace,
} from '../compressor/types.ts';
import { type Memory, memory } from '../numerics/index.ts';
import { convert, findUnit, parseQuantity } from '../units/index.ts';
import type { DraftCell2, DraftCell3, MapDraft, Typed } from './document.ts';
import {
  blank,
  cell,
  isEmptyRow,
  isUnread,
  type ReadRows,
  type Report,
  readEfficiency,
  readLines,
  readPlace,
  readReference,
  readRows,
  readShare,
  referenceCells,
  refusal,
  reportTo,
  shareRange,
} from './draftCells.ts';

/** Which row of the tables each line, point and island of the sheet was read from: skipped rows shift the counting. */
interface DraftRows {
  lines: readonly ReadRows[];
  surgeLine: readonly number[];
  islands: readonly ReadRows[];
}

/** The sheet that could be read, with what had to be left out; or no sheet at all. Places count the draft's own rows. */
type DraftReading =
  | { ok: true; sheet: MapSheet; rows: DraftRows; problems: readonly AuditFinding[] }
  | { ok: false; problems: readonly AuditFinding[] };

/**
 * The text tables to numbers. Empty rows are passed over; a row that is half filled or cannot be read is left out and reported with
 * its place, and the rest is read all the same. There is no sheet only where the reference state cannot be read, or the tables hold
 * more than any sheet does, or are those of a turbine sheet (draftToTurbineSheet reads them).
 */
export function draftToSheet(draft: MapDraft): DraftReading {
  const refused = refusal(draft, 'compressor');
  if (refused !== null) return refused;
  const problems: AuditFinding[] = [];
  const report = reportTo(problems);
  const reference = readReference(draft, problems);
  const readPoint = (cells: DraftCell3, where: string, at: SheetPlace) => {
    const point = readPair(cells, where);
    return isUnread(point) ? point : { ...point, ...readEfficiency(cells, draft.efficiencyUnit, where, at, report) };
  };
  const lines = readLines(draft, { ...LINES, readPoint }, report);
  const surge = readRows(
    draft.surgeLine,
    readPair,
    (point) => ({ part: 'surge-line', point }),
    'The surge line',
    report,
  );
  const islands = readIslands(draft, report);
  const limits = readLimits(draft, report);
  const wheel = readWheel(draft, report);
  if (reference === null) return { ok: false, problems };
  const sheet: MapSheet = {
    format: 'lugline-map',
    version: 1,
    name: draft.name,
    source: draft.source,
    reference,
    flowUnit: draft.flowUnit,
    speedLines: lines.flatMap(({ speedRpm, values }) => (speedRpm === null ? [] : { speedRpm, points: values })),
    ...(surge.values.length > 0 ? { surgeLine: surge.values } : {}),
    ...(islands.length > 0 ? { islands: islands.map((island) => island.value) } : {}),
    ...(limits === null ? {} : { limits }),
    ...(wheel === null ? {} : { wheel }),
    ...(draft.invented === undefined ? {} : { invented: draft.invented }),
  };
  const rows: DraftRows = { lines, surgeLine: surge.rows, islands };
  return { ok: true, sheet, rows, problems };
}

function readPair(cells: DraftCell2, where: string) {
  return readPlace(cells, where, 'pressure ratio');
}

const LINES = {
  unnamed: 'Speed line',
  noSpeed: 'has no shaft speed that can be read; it is left out. Enter its corrected speed in rev/min.',
  mayLackSpeed: false,
};

function readIslands(draft: MapDraft, report: Report): (ReadRows & { value: Island })[] {
  return draft.islands.flatMap((island, row) => {
    const empty = blank(island.efficiency);
    if (empty && island.points.every(isEmptyRow)) return [];
    const name = empty ? `Island ${row + 1}` : `The ${island.efficiency.trim()} island`;
    const at: SheetPlace = { part: 'island', island: row };
    const { values, rows } = readRows(island.points, readPair, (point) => ({ ...at, point }), name, report);
    const efficiency = readShare(island.efficiency, draft.efficiencyUnit);
    if (efficiency === null)
      report(at, `${name} has no efficiency that can be read (${shareRange(draft)}); it is left out.`);
    else if (values.length === 0) report(at, `${name} has no points yet; it is left out.`);
    else return [{ value: { efficiency, closed: island.closed, points: values }, row, points: rows }];
    return [];
  });
}

/** In the unit's SI, above zero; undefined for an empty cell, null for one that cannot be read. */
function readAboveZero(
  { text, unit }: Typed,
  quantity: 'rotational-speed' | 'wheel-length',
): number | null | undefined {
  if (blank(text)) return undefined;
  const parsed = findUnit(quantity, unit) === null ? null : parseQuantity(text, quantity, unit);
  if (parsed?.ok !== true || parsed.si <= 0) return null;
  return quantity === 'wheel-length' ? convert(parsed.value, quantity, unit, 'mm') : parsed.si;
}

function readLimits({ limits: { shaftSpeed } }: MapDraft, report: Report): MapSheet['limits'] | null {
  const shaftSpeedRpm = readAboveZero(shaftSpeed, 'rotational-speed');
  if (shaftSpeedRpm === null) {
    const what = `The maximum shaft speed '${shaftSpeed.text}' cannot be read; the map has no speed limit until it can.`;
    report({ part: 'limits' }, what);
  }
  return typeof shaftSpeedRpm === 'number' ? { shaftSpeedRpm } : null;
}

function readWheel({ wheel }: MapDraft, report: Report): MapSheet['wheel'] | null {
  const read = (what: 'inducer' | 'exducer'): number | null => {
    const lengthMm = readAboveZero(wheel[what], 'wheel-length');
    if (lengthMm === null)
      report({ part: 'wheel' }, `The ${what} diameter '${wheel[what].text}' cannot be read; it is left out.`);
    return lengthMm ?? null;
  };
  const inducerMm = read('inducer');
  const exducerMm = read('exducer');
  if (inducerMm === null && exducerMm === null) return null;
  return { ...(inducerMm === null ? {} : { inducerMm }), ...(exducerMm === null ? {} : { exducerMm }) };
}

/** A place counted in the sheet's lines and points, counted in the draft's rows instead (empty and unread rows count there). */
export function draftPlace(place: SheetPlace, rows: DraftRows): SheetPlace {
  switch (place.part) {
    case 'speed-line': {
      const line = rows.lines[place.line];
      return line === undefined ? place : { ...place, line: line.row, ...pointRow(place.point, line.points) };
    }
    case 'island': {
      const island = rows.islands[place.island];
      return island === undefined ? place : { ...place, island: island.row, ...pointRow(place.point, island.points) };
    }
    case 'surge-line':
      return { ...place, ...pointRow(place.point, rows.surgeLine) };
    default:
      return place;
  }
}

function pointRow(point: number | undefined, rows: readonly number[]): { point?: number } {
  const row = point === undefined ? undefined : rows[point];
  return row === undefined ? {} : { point: row };
}

const point = (p: { flow: number; pressureRatio: number }) => ({
  flow: cell(p.flow),
  pressureRatio: cell(p.pressureRatio),
});

/** A sheet's numbers as the text tables of the Maps view. draftToSheet of the result gives the same numbers back. */
export function sheetToDraft(sheet: MapSheet, id: string): MapDraft {
  return {
    id,
    name: sheet.name,
    source: sheet.source,
    ...(sheet.invented === undefined ? {} : { invented: sheet.invented }),
    reference: referenceCells(sheet.reference),
    flowUnit: sheet.flowUnit,
    efficiencyUnit: '1',
    speedLines: sheet.speedLines.map((line) => ({
      speed: cell(line.speedRpm),
      points: line.points.map((p) => ({ ...point(p), efficiency: cell(p.efficiency) })),
    })),
    surgeLine: (sheet.surgeLine ?? []).map(point),
    islands: (sheet.islands ?? []).map((island) => ({
      efficiency: cell(island.efficiency),
      closed: island.closed,
      points: island.points.map(point),
    })),
    limits: { shaftSpeed: { text: cell(sheet.limits?.shaftSpeedRpm), unit: 'rpm' } },
    wheel: {
      inducer: { text: cell(sheet.wheel?.inducerMm), unit: 'mm' },
      exducer: { text: cell(sheet.wheel?.exducerMm), unit: 'mm' },
    },
  };
}

/** What turns a sheet into a surface; tests may hand in another. */
export interface MapFitter {
  fit(sheet: MapSheet): FitResult;
}

export const mapFitter: MapFitter = { fit: tryFitSurface };

/** All that is made of a map's tables. */
export interface DraftFit {
  /** null: the reference state cannot be read, or the tables are too big. */
  sheet: MapSheet | null;
  /** null: see the problems of severity 'error'. */
  surface: CompressorSurface | null;
  /** What was left out of the tables, and why nothing could be fitted; places count the draft's own rows. What else is doubtful: `auditDraft`. */
  problems: readonly AuditFinding[];
}

const fits = memory<MapFitter, Memory<MapDraft['speedLines'], DraftFit>>();

/**
 * Reads and fits a map's tables. Remembered by the identity of the tables: the same tables are fitted once, whichever
 * build, candidate or name they stand under.
 */
export function fitDraft(draft: MapDraft, fitter: MapFitter = mapFitter): DraftFit {
  const { reference, flowUnit, efficiencyUnit, surgeLine, islands, limits, wheel, habits } = draft;
  const tables = [reference, flowUnit, efficiencyUnit, surgeLine, islands, limits, wheel, habits];
  return fits(fitter, [], () => memory())(draft.speedLines, tables, () => fitTables(draft, fitter));
}

function fitTables(draft: MapDraft, fitter: MapFitter): DraftFit {
  const reading = draftToSheet(draft);
  if (!reading.ok) return { sheet: null, surface: null, problems: reading.problems };
  const fit = fitter.fit(reading.sheet);
  const unfit = fit.ok ? [] : fit.problems.map((finding) => inDraft(finding, reading.rows));
  return {
    sheet: reading.sheet,
    surface: fit.ok ? fit.surface : null,
    problems: withoutRepeats([...reading.problems, ...unfit]),
  };
}

/** A finding of the sheet with its place in the draft's own rows. */
export function inDraft(finding: AuditFinding, rows: DraftRows): AuditFinding {
  return finding.place === undefined ? finding : { ...finding, place: draftPlace(finding.place, rows) };
}

/** The fit and the audit may find the same fault; it is said once. Errors stand first. */
export function withoutRepeats(findings: readonly AuditFinding[]): AuditFinding[] {
  const seen = new Set<string>();
  const once = findings.filter((finding) => {
    const key = JSON.stringify([finding.code, finding.message, finding.place]);
    return !seen.has(key) && seen.add(key);
  });
  const rank = { error: 0, warning: 1, note: 2 };
  return once.sort((a, b) => rank[a.severity] - rank[b.severity]);
}

/** What is drawn of a fitted map, in data units (corrected kg/s at `reference`). */
export interface MapGeometry {
  reference: ReferenceState;
  speedLines: readonly { correctedSpeedRpm: number; entered: boolean; line: MapPolyline }[];
  surgeLine: readonly MapPolyline[];
  chokeEnd: readonly MapPolyline[];
  islands: readonly IslandContour[];
  extent: { maxFlowKgPerS: number; maxPressureRatio: number };
}

const geometries = memory<CompressorSurface, MapGeometry>();

/** Lines and islands of a surface; worked out once a surface. The sheet names the speeds that were entered. */
export function mapGeometry(surface: CompressorSurface, sheet: MapSheet): MapGeometry {
  return geometries(surface, [], () => geometryOf(surface, sheet));
}

function geometryOf(surface: CompressorSurface, sheet: MapSheet): MapGeometry {
  const speeds = [...new Set(sheet.speedLines.map((line) => line.speedRpm))].sort((a, b) => a - b);
  // The levels of the sheet are those that a reader can check against it; round levels only where it has none.
  const levels = [...new Set((sheet.islands ?? []).map((island) => island.efficiency))];
  return {
    reference: surface.reference,
    speedLines: [
      ...speeds.map((speed) => ({ speed, entered: true })),
      ...extendedSpeeds(surface, speeds).map((speed) => ({ speed, entered: false })),
    ].flatMap(({ speed, entered }) => {
      const line = speedLine(surface, speed);
      return line === null ? [] : [{ correctedSpeedRpm: speed, entered, line }];
    }),
    surgeLine: boundaryLine(surface, 'surge'),
    chokeEnd: boundaryLine(surface, 'choke'),
    islands: levels.length > 0 ? islandContours(surface, levels) : islandContours(surface),
    extent: surface.extent,
  };
}

/** One line below the lowest entered one and one at the end of the extension above: enough to show where the map is extended. */
function extendedSpeeds(surface: CompressorSurface, speeds: readonly number[]): number[] {
  const [first, second] = speeds;
  if (first === undefined || second === undefined) return [];
  const below = first - (second - first);
  return [below, surface.highestAnswerRpm].filter(
    (speed) => speed >= surface.lowestAnswerRpm && speed <= surface.highestAnswerRpm && !speeds.includes(speed),
  );
}

/** The line of one corrected speed, for the maker's limit on the day; none where the surface does not answer for it. */
export function speedLineAt(surface: CompressorSurface, correctedSpeedRpm: number): readonly MapPolyline[] {
  const line = speedLine(surface, correctedSpeedRpm);
  return line === null ? [] : [line];
}
