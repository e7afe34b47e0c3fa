import type { AuditFinding, Island, MapSheet, SheetPlace, SheetPoint, SpeedLine } from '../compressor/types.ts';
import { convert, findUnit, parseNumber, parseQuantity } from '../units/index.ts';
import type { DraftCell2, DraftCell3, MapDraft, Typed } from './document.ts';
import { lineSpeed } from './lineSpeed.ts';
import { mapTooBig } from './mapTooBig.ts';

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

type Report = (place: SheetPlace, message: string) => void;

/**
 * The text tables to numbers. Empty rows are passed over; a row that is half filled or cannot be read is left out and reported with
 * its place, and the rest is read all the same. There is no sheet only where the reference state cannot be read, or the tables hold
 * more than any sheet does.
 */
export function draftToSheet(draft: MapDraft): DraftReading {
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

function readReference(draft: MapDraft, problems: AuditFinding[]): MapSheet['reference'] | null {
  const place: SheetPlace = { part: 'reference' };
  const read = (typed: Typed, quantity: 'temperature' | 'pressure-absolute', what: string): number | null => {
    const say = (message: string) => problems.push({ severity: 'error', code: 'no-reference-state', message, place });
    if (findUnit(quantity, typed.unit) === null) {
      say(`The reference ${what} has a unit that is not known: '${typed.unit}'. Choose one.`);
      return null;
    }
    const parsed = parseQuantity(typed.text, quantity, typed.unit);
    if (!parsed.ok) {
      say(
        `The reference ${what} is missing or cannot be read. It stands on the sheet; every flow and speed depends on it.`,
      );
      return null;
    }
    if (parsed.si <= 0) {
      say(`The reference ${what} must be above zero (absolute).`);
      return null;
    }
    return parsed.si;
  };
  const temperatureK = read(draft.reference.temperature, 'temperature', 'temperature');
  const pressurePa = read(draft.reference.pressure, 'pressure-absolute', 'pressure');
  return temperatureK === null || pressurePa === null ? null : { temperatureK, pressurePa };
}

interface Numbered<T> {
  value: T;
  row: number;
  points: readonly number[];
}

function readLines(draft: MapDraft, report: Report): Numbered<SpeedLine>[] {
  const read: Numbered<SpeedLine>[] = [];
  draft.speedLines.forEach((line, row) => {
    const empty = blank(line.speed);
    if (empty && line.points.every(isEmptyRow)) return;
    const name = empty ? `Speed line ${row + 1}` : `The ${line.speed.trim()} line`;
    const place = (point: number): SheetPlace => ({ part: 'speed-line', line: row, point });
    const readPoint = (cells: DraftCell3, where: string, at: SheetPlace) =>
      readPoint3(cells, draft.efficiencyUnit, where, at, report);
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

function readRows<C extends DraftCell2, P>(
  cells: readonly C[],
  readPoint: (cells: C, where: string, place: SheetPlace) => P | string,
  place: (point: number) => SheetPlace,
  name: string,
  report: Report,
): { values: P[]; rows: number[] } {
  const values: P[] = [];
  const rows: number[] = [];
  cells.forEach((row, index) => {
    if (isEmptyRow(row)) return;
    const where = `${name}, point ${index + 1}`;
    const point = readPoint(row, where, place(index));
    if (typeof point === 'string') report(place(index), point);
    else {
      values.push(point);
      rows.push(index);
    }
  });
  return { values, rows };
}

function readPoint2(cells: DraftCell2, where: string): { flow: number; pressureRatio: number } | string {
  const flow = parseNumber(cells.flow);
  const pressureRatio = parseNumber(cells.pressureRatio);
  if (!flow.ok)
    return `${where}: the flow ${blank(cells.flow) ? 'is missing' : `'${cells.flow}' cannot be read`}; the point is left out.`;
  if (!pressureRatio.ok) {
    const what = blank(cells.pressureRatio) ? 'is missing' : `'${cells.pressureRatio}' cannot be read`;
    return `${where}: the pressure ratio ${what}; the point is left out.`;
  }
  if (flow.value < 0) return `${where}: the flow is below zero; the point is left out.`;
  if (pressureRatio.value <= 0) return `${where}: the pressure ratio is not above zero; the point is left out.`;
  return { flow: flow.value, pressureRatio: pressureRatio.value };
}

/** An efficiency that cannot be read costs the efficiency, not the point: flow and pressure ratio are good by themselves. */
function readPoint3(
  cells: DraftCell3,
  unit: MapDraft['efficiencyUnit'],
  where: string,
  place: SheetPlace,
  report: Report,
): SheetPoint | string {
  const point = readPoint2(cells, where);
  if (typeof point === 'string' || blank(cells.efficiency)) return point;
  const efficiency = readShare(cells.efficiency, unit);
  if (efficiency !== null) return { ...point, efficiency };
  report(
    place,
    `${where}: the efficiency '${cells.efficiency}' is not ${shareRange({ efficiencyUnit: unit })}; it is left out.`,
  );
  return point;
}

function readShare(text: string, unit: MapDraft['efficiencyUnit']): number | null {
  const parsed = parseNumber(text);
  if (!parsed.ok) return null;
  // Dividing, not multiplying by 0.01: 74 / 100 is exactly the 0.74 that a file holds.
  const share = unit === '%' ? parsed.value / 100 : parsed.value;
  return share > 0 && share <= 1 ? share : null;
}

function shareRange(draft: Pick<MapDraft, 'efficiencyUnit'>): string {
  return draft.efficiencyUnit === '%' ? 'a percentage above 0 and up to 100' : 'a number above 0 and up to 1';
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

function blank(text: string): boolean {
  return text.trim() === '';
}

function isEmptyRow(row: DraftCell2 & { efficiency?: string }): boolean {
  return blank(row.flow) && blank(row.pressureRatio) && blank(row.efficiency ?? '');
}
