import { convert, formatNumber, fromSi, type QuantityKey, sheetFlowUnits, unitOf } from '../units/index.ts';
import { flowReadingStep, readingStep } from './gaussian-process.ts';
import type { AuditFinding, MapSheet, SheetPlace } from './types.ts';

/** Units (keys of src/units) in which a sheet's reference state and wheel were entered, and in which is spoken of them. */
export interface SheetUnits {
  temperature: string;
  pressure: string;
  length: string;
}

const SI_UNITS: SheetUnits = { temperature: 'K', pressure: 'kPa', length: 'mm' };

/** How one sheet's numbers are put in words: its own units, and no more decimals than a person would have read. */
export interface AuditWords {
  speed(rpm: number): string;
  flow(value: number): string;
  ratio(value: number): string;
  /** '0.74 (74 %)': a sheet may have been typed either way. */
  efficiency(value: number): string;
  /** '285.15 K (12.0 °C)', '53.6 °F' */
  temperature(kelvin: number): string;
  /** '288 to 303 K' */
  temperatures(low: number, high: number): string;
  pressure(pascal: number): string;
  pressures(low: number, high: number): string;
  /** With as many decimals in millimetres. */
  length(mm: number, decimals?: number): string;
  tipSpeed(metresPerSecond: number): string;
  tipSpeeds(low: number, high: number): string;
}

/** As formatNumber; anything that is not a number is named as such. */
export function groupedNumber(value: number, decimals = 0): string {
  return Number.isFinite(value) ? formatNumber(value, decimals) : 'not a number';
}

/**
 * Words for the numbers of one sheet.
 * @returns formatters; they take any number, also NaN.
 */
export function auditWords(sheet: MapSheet, units: SheetUnits = SI_UNITS): AuditWords {
  const unit = sheet.flowUnit;
  const { temperature, pressure, length } = units;
  const speed = length === 'in' ? 'ft/s' : 'm/s';
  const celsius = (kelvin: number) => groupedNumber(fromSi(kelvin, 'temperature', 'degC'), 1);
  const label = (quantity: QuantityKey, key: string) => unitOf(quantity, key).label;
  const digits = (si: number, quantity: QuantityKey, key: string, significant: number) => {
    const value = fromSi(si, quantity, key);
    const decimals = significant - 1 - Math.floor(Math.log10(Math.abs(value) || 1));
    return trimmed(value, Math.min(12, Math.max(0, decimals)));
  };
  const between = (low: number, high: number, quantity: QuantityKey, key: string, significant: number) =>
    `${digits(low, quantity, key, significant)} to ${digits(high, quantity, key, significant)} ${label(quantity, key)}`;
  return {
    speed: (rpm) => `${groupedNumber(rpm)} rpm`,
    flow: (value) => `${trimmed(value, sheetFlowUnits[unit].decimals)} ${sheetFlowUnits[unit].label}`,
    ratio: (value) => trimmed(value, 3),
    efficiency: (value) => `${trimmed(value, 3)} (${trimmed(value * 100, 1)} %)`,
    temperature: (kelvin) =>
      temperature === 'K'
        ? `${groupedNumber(kelvin, 2)} K (${celsius(kelvin)} °C)`
        : `${groupedNumber(fromSi(kelvin, 'temperature', temperature), 1)} ${label('temperature', temperature)}`,
    temperatures: (low, high) =>
      `${groupedNumber(fromSi(low, 'temperature', temperature))} to ${groupedNumber(fromSi(high, 'temperature', temperature))} ${label('temperature', temperature)}`,
    pressure: (pascal) => `${digits(pascal, 'pressure-absolute', pressure, 5)} ${label('pressure-absolute', pressure)}`,
    pressures: (low, high) => between(low, high, 'pressure-absolute', pressure, 3),
    length: (mm, decimals = 1) =>
      `${groupedNumber(convert(mm, 'wheel-length', 'mm', length), decimals + (length === 'mm' ? 0 : 2))} ${label('wheel-length', length)}`,
    tipSpeed: (value) => `${groupedNumber(fromSi(value, 'speed', speed))} ${speed}`,
    tipSpeeds: (low, high) => between(low, high, 'speed', speed, 3),
  };
}

function trimmed(value: number, decimals: number): string {
  const text = groupedNumber(value, decimals);
  return text.includes('.') ? text.replace(/\.?0+$/, '') : text;
}

/** A point that can be computed with, and where it stands on the sheet. */
export interface AuditPoint {
  /** Index in the sheet's line. */
  index: number;
  flow: number;
  ratio: number;
  efficiency: number | null;
}

/** A speed line with what of it can be computed with. */
export interface AuditLine {
  /** Index in sheet.speedLines. */
  index: number;
  speedRpm: number;
  /** As typed. */
  typed: readonly AuditPoint[];
  /** From the surge end to the choke end, points that stand off left out. */
  ordered: readonly AuditPoint[];
}

/** What all parts of the audit share: lines put in order once, scales, words, and the list they add to. */
export interface AuditContext {
  sheet: MapSheet;
  words: AuditWords;
  lines: AuditLine[];
  /** Lines with a usable speed and at least two points, in rising speed. */
  rising: readonly AuditLine[];
  /** Largest flow and pressure ratio of the sheet, for distances as shares of the map. */
  scale: { flow: number; ratio: number };
  readonly findings: readonly AuditFinding[];
  report(severity: AuditFinding['severity'], code: string, message: string, place?: SheetPlace): void;
}

const positive = (value: number): boolean => Number.isFinite(value) && value > 0;

/**
 * Order along a line from surge to choke. Neither flow nor pressure ratio alone orders a line (flat near surge, near-vertical near
 * choke); their normalised difference does, whatever the order in which the points were typed.
 */
export function orderAlong(points: readonly AuditPoint[]): AuditPoint[] {
  const key = alongKey(points);
  return [...points].sort((a, b) => key(a) - key(b));
}

/** The ordering abscissa of orderAlong: flow share minus pressure-ratio share of the given points' own ranges. */
export function alongKey(points: readonly AuditPoint[]): (point: AuditPoint) => number {
  let flowLow = Infinity;
  let flowHigh = -Infinity;
  let ratioLow = Infinity;
  let ratioHigh = -Infinity;
  for (const p of points) {
    flowLow = Math.min(flowLow, p.flow);
    flowHigh = Math.max(flowHigh, p.flow);
    ratioLow = Math.min(ratioLow, p.ratio);
    ratioHigh = Math.max(ratioHigh, p.ratio);
  }
  const flowSpan = Math.max(flowHigh - flowLow, 1e-9 * Math.abs(flowHigh), Number.MIN_VALUE);
  const ratioSpan = Math.max(ratioHigh - ratioLow, 1e-9 * Math.abs(ratioHigh), Number.MIN_VALUE);
  return (p) => (p.flow - flowLow) / flowSpan - (p.ratio - ratioLow) / ratioSpan;
}

/** Lines with the points that are numbers, not yet cleared of those that stand off. */
export function auditContext(sheet: MapSheet, units?: SheetUnits): AuditContext {
  const lines = sheet.speedLines.map((line, index): AuditLine => {
    const typed: AuditPoint[] = [];
    line.points.forEach((p, i) => {
      if (!positive(p.flow) || !positive(p.pressureRatio)) return;
      const efficiency = p.efficiency !== undefined && Number.isFinite(p.efficiency) ? p.efficiency : null;
      typed.push({ index: i, flow: p.flow, ratio: p.pressureRatio, efficiency });
    });
    return { index, speedRpm: line.speedRpm, typed, ordered: orderAlong(typed) };
  });
  const findings: AuditFinding[] = [];
  const report: AuditContext['report'] = (severity, code, message, place) => {
    findings.push({ severity, code, message, ...(place && { place }) });
  };
  const scale = { flow: 1, ratio: 1 };
  return { sheet, words: auditWords(sheet, units), lines, rising: [], scale, findings, report };
}

/** Takes the points that stand off out of the lines, then fixes order and scale for everything geometric that follows. */
export function settleContext(context: AuditContext, standingOff: readonly ReadonlySet<number>[]): void {
  context.lines = context.lines.map((line, i) => {
    const off = standingOff[i];
    if (!off || off.size === 0) return line;
    return { ...line, ordered: orderAlong(line.typed.filter((p) => !off.has(p.index))) };
  });
  context.rising = context.lines
    .filter((line) => positive(line.speedRpm) && line.ordered.length >= 2)
    .sort((a, b) => a.speedRpm - b.speedRpm);
  const scale = { flow: 0, ratio: 0 };
  for (const line of context.lines) {
    for (const p of line.ordered) {
      scale.flow = Math.max(scale.flow, p.flow);
      scale.ratio = Math.max(scale.ratio, p.ratio - 1);
    }
  }
  context.scale = { flow: scale.flow > 0 ? scale.flow : 1, ratio: scale.ratio > 0.01 ? scale.ratio : 1 };
}

/** Nearer neighbours than this many steps of the sheet's rounding: two readings may have been rounded to one. */
const STEPS_APART = 8;
/** Of a line that was pasted twice over, a few say it. */
const MOST_NAMED = 12;

/**
 * Points that stand twice on one line with the same flow and pressure ratio: typed, pasted or clicked twice. Close readings that rounding
 * has made equal are left alone.
 */
export function auditDuplicates(context: AuditContext): void {
  const { words, sheet } = context;
  const all = context.lines.flatMap((line) => line.typed);
  const flowStep = flowReadingStep(
    all.map((p) => p.flow),
    sheet.flowUnit,
  );
  const ratioStep = readingStep(all.map((p) => p.ratio));
  const stepsApart = (a: AuditPoint, b: AuditPoint) => {
    const steps = (by: number, step: number) => (by === 0 ? 0 : by / step);
    return steps(Math.abs(a.flow - b.flow), flowStep) + steps(Math.abs(a.ratio - b.ratio), ratioStep);
  };
  for (const line of context.lines) {
    const seen = new Set<string>();
    const named = new Set<string>();
    for (const point of line.typed) {
      const key = `${point.flow} ${point.ratio}`;
      const twice = seen.has(key);
      seen.add(key);
      if (!twice || named.has(key) || named.size >= MOST_NAMED) continue;
      named.add(key);
      const others = line.typed.filter((p) => p.flow !== point.flow || p.ratio !== point.ratio);
      if (others.some((p) => stepsApart(p, point) < STEPS_APART)) continue;
      const message = `Line ${words.speed(line.speedRpm)} at ${words.flow(point.flow)}: the point with pressure ratio ${words.ratio(point.ratio)} stands there twice. Delete one of the two.`;
      context.report('note', 'point-twice', message, { part: 'speed-line', line: line.index, point: point.index });
    }
  }
}

/** A place on the map in shares of its size: x of the largest flow, y of the largest pressure ratio over 1. */
export interface Place {
  x: number;
  y: number;
}

/** How far a place lies from a polyline, and on which side of it. */
export interface Offset {
  /** Positive to the left of the direction of travel. Going from surge to choke, left is up and right: the side of higher speed. */
  distance: number;
  /** False where the nearest place is an end of the polyline: then the side means nothing. */
  beside: boolean;
}

/**
 * Signed distance of a place from a polyline of at least two places.
 * @returns distance Infinity, beside false for fewer than two places.
 */
export function offsetFrom(path: readonly Place[], place: Place): Offset {
  let best = Infinity;
  let result: Offset = { distance: Infinity, beside: false };
  for (let i = 0; i + 1 < path.length; i++) {
    const a = path[i]!;
    const b = path[i + 1]!;
    const dx = b.x - a.x;
    const dy = b.y - a.y;
    const length2 = dx * dx + dy * dy;
    if (length2 === 0) continue;
    const t = ((place.x - a.x) * dx + (place.y - a.y) * dy) / length2;
    const s = Math.min(1, Math.max(0, t));
    const ex = place.x - (a.x + s * dx);
    const ey = place.y - (a.y + s * dy);
    const d2 = ex * ex + ey * ey;
    if (d2 >= best) continue;
    best = d2;
    const side = dx * (place.y - a.y) - dy * (place.x - a.x);
    const offEnd = (i === 0 && t < 0) || (i + 2 === path.length && t > 1);
    result = { distance: Math.sqrt(d2) * Math.sign(side), beside: !offEnd };
  }
  return result;
}

/** First place where two polylines cut each other, or null. Touching ends do not count. */
export function firstCut(one: readonly Place[], other: readonly Place[]): Place | null {
  for (let i = 0; i + 1 < one.length; i++) {
    const a = one[i]!;
    const b = one[i + 1]!;
    for (let j = 0; j + 1 < other.length; j++) {
      const c = other[j]!;
      const d = other[j + 1]!;
      if (Math.max(a.x, b.x) < Math.min(c.x, d.x) || Math.max(c.x, d.x) < Math.min(a.x, b.x)) continue;
      if (Math.max(a.y, b.y) < Math.min(c.y, d.y) || Math.max(c.y, d.y) < Math.min(a.y, b.y)) continue;
      const cut = cutOf(a, b, c, d);
      if (cut) return cut;
    }
  }
  return null;
}

function cutOf(a: Place, b: Place, c: Place, d: Place): Place | null {
  const ux = b.x - a.x;
  const uy = b.y - a.y;
  const vx = d.x - c.x;
  const vy = d.y - c.y;
  const cross = ux * vy - uy * vx;
  if (cross === 0) return null;
  const s = ((c.x - a.x) * vy - (c.y - a.y) * vx) / cross;
  const t = ((c.x - a.x) * uy - (c.y - a.y) * ux) / cross;
  if (s <= 0 || s >= 1 || t <= 0 || t >= 1) return null;
  return { x: a.x + s * ux, y: a.y + s * uy };
}

/** Whether a place lies in a polygon (even-odd rule). */
export function isInside(polygon: readonly Place[], place: Place): boolean {
  let inside = false;
  for (let i = 0, j = polygon.length - 1; i < polygon.length; j = i++) {
    const a = polygon[i]!;
    const b = polygon[j]!;
    if (a.y > place.y !== b.y > place.y && place.x < ((b.x - a.x) * (place.y - a.y)) / (b.y - a.y) + a.x) {
      inside = !inside;
    }
  }
  return inside;
}
