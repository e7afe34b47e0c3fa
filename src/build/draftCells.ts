import type { AuditFinding, ReferenceState, SheetPlace } from '../compressor/types.ts';
import { findUnit, formatNumber, MOST_ROWS, parseNumber, parseQuantity, tableTooLong } from '../units/index.ts';
import type { DraftCell2, DraftCell3, MapDraft, Typed } from './document.ts';

/* How cells of the text tables are read, for sheets of every kind alike. */

/** Kinds of sheets, and what one is called in a sentence. */
const sheetNames = { compressor: 'compressor map', turbine: 'turbine sheet' } as const;
export type SheetKindKey = keyof typeof sheetNames;

/** What kind of sheet the tables are of; files from before there were others say none. */
export function sheetKindOf({ kind }: Pick<MapDraft, 'kind'>): SheetKindKey {
  return kind ?? 'compressor';
}

/** For lists: one that offers the one kind never offers another. */
export function isOfKind(kind: SheetKindKey): (draft: Pick<MapDraft, 'kind'>) => boolean {
  return (draft) => sheetKindOf(draft) === kind;
}

export const isTurbineSheet = isOfKind('turbine');

type Column = NonNullable<AuditFinding['column']>;
export type Report = (place: SheetPlace, message: string, column?: Column) => void;
/** A text that stands for a point but is none: why, and in which column. */
export type Unread = readonly [message: string, column?: Column];

export const isUnread = <P extends object>(read: P | Unread): read is Unread => Array.isArray(read);

/** Why these tables are not read at all: of another kind than the wanted one, or more than any sheet holds. null: they are. */
export function refusal(draft: MapDraft, wanted: SheetKindKey): { ok: false; problems: AuditFinding[] } | null {
  const kind = sheetKindOf(draft);
  const refuse = (code: string, message: string): { ok: false; problems: AuditFinding[] } => ({
    ok: false,
    problems: [{ severity: 'error', code, message }],
  });
  if (kind !== wanted) {
    const message = `'${draft.name}' is a ${sheetNames[kind]}, not a ${sheetNames[wanted]}. Choose a ${sheetNames[wanted]}.`;
    return refuse(sheetNames[kind].replace(' ', '-'), message);
  }
  const tooBig = mapTooBig(draft);
  return tooBig === null ? null : refuse('too-many-points', tooBig);
}

/** What was left out of the tables goes into the list. */
export function reportTo(problems: AuditFinding[]): Report {
  return (place, message, column) => {
    const at = column === undefined ? {} : { column };
    problems.push({ severity: 'warning', code: 'entry-left-out', message, place, ...at });
  };
}

/** Which row of the tables a line or island was read from, and which rows its points: skipped rows shift the counting. */
export interface ReadRows {
  row: number;
  points: readonly number[];
}

interface LineForm<P extends object> {
  /** What a line without a speed is called: 'Speed line', its number behind it. */
  unnamed: string;
  /** Why a line is left out whose speed cannot be read. */
  noSpeed: string;
  /** A line may have none. */
  mayLackSpeed: boolean;
  readPoint: PointReader<DraftCell3, P>;
}

type PointReader<C, P extends object> = (cells: C, where: string, place: SheetPlace) => P | Unread;

/** The lines that can be used; empty ones are passed over, others are left out and reported. `speedRpm` null: it has none. */
export function readLines<P extends object>(
  draft: MapDraft,
  form: LineForm<P>,
  report: Report,
): (ReadRows & { speedRpm: number | null; values: P[] })[] {
  return draft.speedLines.flatMap((line, row) => {
    const lacksSpeed = blank(line.speed);
    if (lacksSpeed && line.points.every(isEmptyRow)) return [];
    const name = lacksSpeed ? `${form.unnamed} ${row + 1}` : `The ${line.speed.trim()} line`;
    const at: SheetPlace = { part: 'speed-line', line: row };
    const { values, rows } = readRows(line.points, form.readPoint, (point) => ({ ...at, point }), name, report);
    const speed = lacksSpeed && form.mayLackSpeed ? null : lineSpeed(line.speed, draft.habits);
    if (speed?.ok === false && speed.reason === 'no-design-speed') {
      const message = `${name} has its speed in percent; it is left out. Enter the design speed that stands for 100 %.`;
      report(at, message, 'speed');
    } else if (speed?.ok === false) report(at, `${name} ${form.noSpeed}`, 'speed');
    else if (values.length === 0) report(at, `${name} has no points yet; it is left out.`);
    else return [{ speedRpm: speed?.rpm ?? null, values, row, points: rows }];
    return [];
  });
}

export function readReference(draft: MapDraft, problems: AuditFinding[]): ReferenceState | null {
  const place: SheetPlace = { part: 'reference' };
  const read = (typed: Typed, quantity: 'temperature' | 'pressure-absolute', what: string): number | null => {
    const say = (message: string) => problems.push({ severity: 'error', code: 'no-reference-state', message, place });
    if (blank(typed.text)) {
      const message = `The reference ${what} is still needed. It stands on the sheet; every flow and speed depends on it.`;
      problems.push({ severity: 'error', code: 'no-reference-state', message, isLacking: true, place });
      return null;
    }
    if (findUnit(quantity, typed.unit) === null) {
      say(`The reference ${what} has a unit that is not known: '${typed.unit}'. Choose one.`);
      return null;
    }
    const parsed = parseQuantity(typed.text, quantity, typed.unit);
    if (!parsed.ok) {
      say(
        `The reference ${what} cannot be read: '${typed.text.trim()}'. It stands on the sheet; every flow and speed depends on it.`,
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

export function readRows<C extends DraftCell2, P extends object>(
  cells: readonly C[],
  readPoint: PointReader<C, P>,
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
    if (isUnread(point)) report(place(index), ...point);
    else {
      values.push(point);
      rows.push(index);
    }
  });
  return { values, rows };
}

/** `ratio` is what the sheet calls it: pressure ratio or expansion ratio. */
export function readPlace(
  cells: DraftCell2,
  where: string,
  ratio: string,
): { flow: number; pressureRatio: number } | Unread {
  const flow = parseNumber(cells.flow);
  const pressureRatio = parseNumber(cells.pressureRatio);
  const what = (text: string) => (blank(text) ? 'is missing' : `'${text}' cannot be read`);
  if (!flow.ok) return [`${where}: the flow ${what(cells.flow)}; the point is left out.`, 'flow'];
  if (!pressureRatio.ok) {
    return [`${where}: the ${ratio} ${what(cells.pressureRatio)}; the point is left out.`, 'pressureRatio'];
  }
  if (flow.value < 0) return [`${where}: the flow is below zero; the point is left out.`, 'flow'];
  if (pressureRatio.value <= 0) {
    return [`${where}: the ${ratio} is not above zero; the point is left out.`, 'pressureRatio'];
  }
  return { flow: flow.value, pressureRatio: pressureRatio.value };
}

/** An efficiency that cannot be read costs the efficiency, not the point: flow and ratio are good by themselves. */
export function readEfficiency(
  cells: DraftCell3,
  unit: MapDraft['efficiencyUnit'],
  where: string,
  place: SheetPlace,
  report: Report,
): { efficiency?: number } {
  if (blank(cells.efficiency)) return {};
  const efficiency = readShare(cells.efficiency, unit);
  if (efficiency !== null) return { efficiency };
  report(
    place,
    `${where}: the efficiency '${cells.efficiency}' is not ${shareRange({ efficiencyUnit: unit })}; it is left out.`,
    'efficiency',
  );
  return {};
}

export function readShare(text: string, unit: MapDraft['efficiencyUnit']): number | null {
  const parsed = parseNumber(text);
  if (!parsed.ok) return null;
  // Dividing, not multiplying by 0.01: 74 / 100 is exactly the 0.74 that a file holds.
  const share = unit === '%' ? parsed.value / 100 : parsed.value;
  return share > 0 && share <= 1 ? share : null;
}

export function shareRange(draft: Pick<MapDraft, 'efficiencyUnit'>): string {
  return draft.efficiencyUnit === '%' ? 'a percentage above 0 and up to 100' : 'a number above 0 and up to 1';
}

export function blank(text: string): boolean {
  return text.trim() === '';
}

export function isEmptyRow(row: DraftCell2 & { efficiency?: string }): boolean {
  return blank(row.flow) && blank(row.pressureRatio) && blank(row.efficiency ?? '');
}

/** Speed of a line as typed: in rev/min, or in percent ('80 %') of the design speed of the sheet. */
export type LineSpeed = { ok: true; rpm: number } | { ok: false; reason: 'unreadable' | 'no-design-speed' };

/** Reads the speed of a line, rev/min above zero. */
export function lineSpeed(text: string, habits: MapDraft['habits']): LineSpeed {
  const percent = /^(.*)%\s*$/.exec(text.trim());
  const parsed = parseNumber(percent?.[1] ?? text, percent === null ? 'integer-like' : 'decimal');
  if (!parsed.ok || parsed.value <= 0) return { ok: false, reason: 'unreadable' };
  if (percent === null) return { ok: true, rpm: parsed.value };
  const design = habits?.designSpeed;
  const speed = design === undefined ? null : parseQuantity(design.text, 'rotational-speed', design.unit);
  if (speed === null || !speed.ok || !(speed.si > 0)) return { ok: false, reason: 'no-design-speed' };
  // Rounded where the product of two decimals leaves a tail: 0.7 x 110,000 is 77,000.
  return { ok: true, rpm: Number(((parsed.value / 100) * speed.si).toPrecision(10)) };
}

/** A place in the tables of a map, written as the end of a path: '.speedLines[1].points[2]'; '' for the map as a whole. */
export function pathOfPlace(place: SheetPlace | undefined): string {
  if (place === undefined) return '';
  const point = 'point' in place && place.point !== undefined ? place.point : null;
  switch (place.part) {
    case 'speed-line':
      return `.speedLines[${place.line}]${point === null ? '' : `.points[${point}]`}`;
    case 'island':
      return `.islands[${place.island}]${point === null ? '' : `.points[${point}]`}`;
    case 'surge-line':
      return `.surgeLine${point === null ? '' : `[${point}]`}`;
    default:
      return `.${place.part}`;
  }
}

/** A missing number is an empty cell; another one is text that reads back as the same number. */
export function cell(value: number | undefined): string {
  return value === undefined ? '' : String(value);
}

/** A reference state as the cells of the tables. */
export function referenceCells({ temperatureK, pressurePa }: ReferenceState): MapDraft['reference'] {
  return { temperature: { text: cell(temperatureK), unit: 'K' }, pressure: { text: cell(pressurePa), unit: 'Pa' } };
}

/** The largest published sheets have some 20 lines and 400 points; beyond these bounds it is not a sheet. */
const MOST_LINES = 100;

const many = (count: number) => formatNumber(count, 0);

/** Why the tables hold more than can be a compressor map (100 lines or contours, 5,000 points in all), or null. */
export function mapTooBig(map: Pick<MapDraft, 'speedLines' | 'surgeLine' | 'islands'>): string | null {
  const lines = Math.max(map.speedLines.length, map.islands.length);
  const points = [...map.speedLines, ...map.islands].reduce(
    (sum, line) => sum + line.points.length,
    map.surgeLine.length,
  );
  if (lines <= MOST_LINES && points <= MOST_ROWS) return null;
  return `The map has ${many(lines)} lines and ${many(points)} points; at most ${MOST_LINES} lines and ${many(MOST_ROWS)} points are taken. Thin it out.`;
}

/** Why some list in a file is longer than a table can be, with its place; null: none is. `value` is plain data without loops. */
export function listTooLong(value: unknown, path = ''): { path: string; message: string } | null {
  if (typeof value !== 'object' || value === null) return null;
  const message = Array.isArray(value) ? tableTooLong(value.length) : null;
  if (message !== null) return { path, message };
  for (const [key, child] of Object.entries(value)) {
    const at = Array.isArray(value) ? `${path}[${key}]` : path === '' ? key : `${path}.${key}`;
    const found = listTooLong(child, at);
    if (found !== null) return found;
  }
  return null;
}
