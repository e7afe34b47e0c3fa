import type { AuditFinding, Island, MapSheet, SheetPlace, SpeedLine } from '../compressor/types.ts';
import { convert, findUnit, parseQuantity } from '../units/index.ts';
import type { DraftCell2, DraftCell3, MapDraft, Typed } from './document.ts';
import {
  blank,
  isEmptyRow,
  type Numbered,
  type Report,
  readEfficiency,
  readPlace,
  readReference,
  readRows,
  readShare,
  shareRange,
} from './draftCells.ts';
import { lineSpeed } from './lineSpeed.ts';
import { mapTooBig } from './mapTooBig.ts';
import { isTurbineSheet } from './sheetKind.ts';

/** Which row of the tables each line, point and island of the sheet was read from: skipped rows shift the counting. */
export interface DraftRows {
  lines: readonly { row: number; points: readonly number[] }[];
  surgeLine: readonly number[];
  islands: readonly { row: number; points: readonly number[] }[];
}

/** The sheet that could be read, with what had to be left out; or no sheet at all. Places count the draft's own rows. */
export type DraftReading =
  | { ok: true; sheet: MapSheet; rows: DraftRows; problems: readonly AuditFinding[] }
  | { ok: false; problems: readonly AuditFinding[] };

/**
 * The text tables to numbers. Empty rows are passed over; a row that is half filled or cannot be read is left out and reported with
 * its place, and the rest is read all the same. There is no sheet only where the reference state cannot be read, or the tables hold
 * more than any sheet does, or are those of a turbine sheet (draftToTurbineSheet reads them).
 */
export function draftToSheet(draft: MapDraft): DraftReading {
  if (isTurbineSheet(draft)) {
    const message = `'${draft.name}' is a turbine sheet, not a compressor map. Choose a compressor map.`;
    return { ok: false, problems: [{ severity: 'error', code: 'turbine-sheet', message }] };
  }
  const tooBig = mapTooBig(draft);
  if (tooBig !== null)
    return { ok: false, problems: [{ severity: 'error', code: 'too-many-points', message: tooBig }] };
  const problems: AuditFinding[] = [];
  const report: Report = (place, message) => {
    problems.push({ severity: 'warning', code: 'entry-left-out', message, place });
  };
  const reference = readReference(draft, problems);
  const lines = readLines(draft, report);
  const surge = readRows(
    draft.surgeLine,
    readPoint2,
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
    speedLines: lines.map((line) => line.value),
    ...(surge.values.length > 0 ? { surgeLine: surge.values } : {}),
    ...(islands.length > 0 ? { islands: islands.map((island) => island.value) } : {}),
    ...(limits === null ? {} : { limits }),
    ...(wheel === null ? {} : { wheel }),
    ...(draft.invented === undefined ? {} : { invented: draft.invented }),
  };
  const rows: DraftRows = { lines, surgeLine: surge.rows, islands };
  return { ok: true, sheet, rows, problems };
}

function readPoint2(cells: DraftCell2, where: string) {
  return readPlace(cells, where, 'pressure ratio');
}

function readLines(draft: MapDraft, report: Report): Numbered<SpeedLine>[] {
  const read: Numbered<SpeedLine>[] = [];
  draft.speedLines.forEach((line, row) => {
    const empty = blank(line.speed);
    if (empty && line.points.every(isEmptyRow)) return;
    const name = empty ? `Speed line ${row + 1}` : `The ${line.speed.trim()} line`;
    const place = (point: number): SheetPlace => ({ part: 'speed-line', line: row, point });
    const readPoint = (cells: DraftCell3, where: string, at: SheetPlace) => {
      const point = readPoint2(cells, where);
      if (typeof point === 'string') return point;
      return { ...point, ...readEfficiency(cells, draft.efficiencyUnit, where, at, report) };
    };
    const { values, rows } = readRows(line.points, readPoint, place, name, report);
    const speed = lineSpeed(line.speed, draft.habits);
    const lineAt: SheetPlace = { part: 'speed-line', line: row };
    if (!speed.ok && speed.reason === 'no-design-speed') {
      report(lineAt, `${name} has its speed in percent; it is left out. Enter the design speed that stands for 100 %.`);
    } else if (!speed.ok) {
      report(
        lineAt,
        `${name} has no shaft speed that can be read; it is left out. Enter its corrected speed in rev/min.`,
      );
    } else if (values.length === 0) {
      report(lineAt, `${name} has no points yet; it is left out.`);
    } else {
      read.push({ value: { speedRpm: speed.rpm, points: values }, row, points: rows });
    }
  });
  return read;
}

function readIslands(draft: MapDraft, report: Report): Numbered<Island>[] {
  const read: Numbered<Island>[] = [];
  draft.islands.forEach((island, row) => {
    const empty = blank(island.efficiency);
    if (empty && island.points.every(isEmptyRow)) return;
    const name = empty ? `Island ${row + 1}` : `The ${island.efficiency.trim()} island`;
    const place = (point: number): SheetPlace => ({ part: 'island', island: row, point });
    const { values, rows } = readRows(island.points, readPoint2, place, name, report);
    const efficiency = readShare(island.efficiency, draft.efficiencyUnit);
    const islandAt: SheetPlace = { part: 'island', island: row };
    if (efficiency === null)
      report(islandAt, `${name} has no efficiency that can be read (${shareRange(draft)}); it is left out.`);
    else if (values.length === 0) report(islandAt, `${name} has no points yet; it is left out.`);
    else read.push({ value: { efficiency, closed: island.closed, points: values }, row, points: rows });
  });
  return read;
}

function readLimits(draft: MapDraft, report: Report): MapSheet['limits'] | null {
  const { shaftSpeed } = draft.limits;
  if (blank(shaftSpeed.text)) return null;
  const parsed =
    findUnit('rotational-speed', shaftSpeed.unit) === null
      ? null
      : parseQuantity(shaftSpeed.text, 'rotational-speed', shaftSpeed.unit);
  if (parsed?.ok === true && parsed.si > 0) return { shaftSpeedRpm: parsed.si };
  report(
    { part: 'limits' },
    `The maximum shaft speed '${shaftSpeed.text}' cannot be read; the map has no speed limit until it can.`,
  );
  return null;
}

function readWheel(draft: MapDraft, report: Report): MapSheet['wheel'] | null {
  const read = (typed: Typed, what: string): number | undefined => {
    if (blank(typed.text)) return undefined;
    const parsed =
      findUnit('wheel-length', typed.unit) === null ? null : parseQuantity(typed.text, 'wheel-length', typed.unit);
    if (parsed?.ok === true && parsed.si > 0) return convert(parsed.value, 'wheel-length', typed.unit, 'mm');
    report({ part: 'wheel' }, `The ${what} diameter '${typed.text}' cannot be read; it is left out.`);
    return undefined;
  };
  const inducerMm = read(draft.wheel.inducer, 'inducer');
  const exducerMm = read(draft.wheel.exducer, 'exducer');
  if (inducerMm === undefined && exducerMm === undefined) return null;
  return { ...(inducerMm === undefined ? {} : { inducerMm }), ...(exducerMm === undefined ? {} : { exducerMm }) };
}
