import type { AuditFinding, ReferenceState, SheetPlace } from '../compressor/types.ts';
import { findUnit, parseNumber, parseQuantity } from '../units/index.ts';
import type { DraftCell2, DraftCell3, MapDraft, Typed } from './document.ts';

/* How cells of the text tables are read, for compressor maps and turbine sheets alike. */

export type Report = (place: SheetPlace, message: string) => void;

export interface Numbered<T> {
  value: T;
  row: number;
  points: readonly number[];
}

export function readReference(draft: MapDraft, problems: AuditFinding[]): ReferenceState | null {
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

export function readRows<C extends DraftCell2, P>(
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

/** `ratio` is what the sheet calls it: pressure ratio or expansion ratio. */
export function readPlace(
  cells: DraftCell2,
  where: string,
  ratio: string,
): { flow: number; pressureRatio: number } | string {
  const flow = parseNumber(cells.flow);
  const pressureRatio = parseNumber(cells.pressureRatio);
  if (!flow.ok)
    return `${where}: the flow ${blank(cells.flow) ? 'is missing' : `'${cells.flow}' cannot be read`}; the point is left out.`;
  if (!pressureRatio.ok) {
    const what = blank(cells.pressureRatio) ? 'is missing' : `'${cells.pressureRatio}' cannot be read`;
    return `${where}: the ${ratio} ${what}; the point is left out.`;
  }
  if (flow.value < 0) return `${where}: the flow is below zero; the point is left out.`;
  if (pressureRatio.value <= 0) return `${where}: the ${ratio} is not above zero; the point is left out.`;
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

/** The largest published sheets have some 20 lines and 400 points; beyond these bounds it is not a sheet, and the page would stall. */
const MOST_LINES = 100;
const MOST_POINTS = 5_000;

/** Why the tables hold more than can be a compressor map (100 lines or contours, 5,000 points in all), or null. */
export function mapTooBig(map: Pick<MapDraft, 'speedLines' | 'surgeLine' | 'islands'>): string | null {
  const lines = Math.max(map.speedLines.length, map.islands.length);
  const points = [...map.speedLines, ...map.islands].reduce(
    (sum, line) => sum + line.points.length,
    map.surgeLine.length,
  );
  if (lines <= MOST_LINES && points <= MOST_POINTS) return null;
  return `The map has ${lines.toLocaleString('en')} lines and ${points.toLocaleString('en')} points; at most ${MOST_LINES} lines and ${MOST_POINTS.toLocaleString('en')} points are taken. Thin it out.`;
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
