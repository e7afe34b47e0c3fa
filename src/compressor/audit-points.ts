import { type AuditContext, type AuditLine, type AuditPoint, alongKey, orderAlong } from './audit-context.ts';

/** Efficiencies of a compressor stage on a map, total to total, lie between these (physics.md, section 3: common practice). */
const EFFICIENCY_LOW = 0.3;
const EFFICIENCY_HIGH = 0.9;
/** No single stage on a sheet reaches this pressure ratio (common practice, no source). */
const RATIO_LIMIT = 9;

/** Cell by cell: what is not a number, out of range, or in the wrong unit; and how many lines and points there are. */
export function auditValues(context: AuditContext, standingOff: readonly ReadonlySet<number>[]): void {
  countLines(context);
  const percent = percentEfficiencies(context);
  context.sheet.speedLines.forEach((_, i) => {
    cells(context, i, standingOff[i] ?? new Set());
    if (!percent) efficiencies(context, i);
    countPoints(context, context.lines[i]!);
  });
  if (!percent) for (const line of context.lines) efficiencyStandsOff(context, line);
}

function cells(context: AuditContext, lineIndex: number, off: ReadonlySet<number>): void {
  const { words, sheet } = context;
  const line = sheet.speedLines[lineIndex]!;
  line.points.forEach((p, i) => {
    const where = placeWords(context, line.speedRpm, p.flow, i);
    const place = { part: 'speed-line', line: lineIndex, point: i } as const;
    const add = (severity: 'error' | 'warning', code: string, text: string) =>
      context.report(severity, code, `${where}: ${text}`, place);
    if (!Number.isFinite(p.flow))
      add('error', 'flow-missing', 'the flow is not a number. Enter it or delete the point.');
    else if (p.flow <= 0) {
      add('error', 'flow-not-positive', `the flow is not above zero. Enter it as read, or delete the point.`);
    }
    const ratio = p.pressureRatio;
    if (!Number.isFinite(ratio)) {
      add('error', 'ratio-missing', 'the pressure ratio is not a number. Enter it or delete the point.');
    } else if (ratio < 1) {
      const boost = 'A pressure ratio starts at 1; if this is gauge boost in bar, it is not what is asked for.';
      add('error', 'ratio-below-one', `the pressure ratio ${words.ratio(ratio)} is below 1. ${boost}`);
    } else if (ratio > RATIO_LIMIT && !off.has(i)) {
      add('warning', 'ratio-high', `the pressure ratio ${words.ratio(ratio)} is more than one stage gives. Check it.`);
    }
  });
}

/** Typed as 74 instead of 0.74: said once, not for every cell. */
function percentEfficiencies(context: AuditContext): boolean {
  let percent = 0;
  let all = 0;
  const first: { line: number; point: number }[] = [];
  context.sheet.speedLines.forEach((line, l) => {
    line.points.forEach((p, i) => {
      if (p.efficiency === undefined) return;
      all++;
      if (!(p.efficiency > 1.5 && p.efficiency <= 100)) return;
      if (percent++ === 0) first.push({ line: l, point: i });
    });
  });
  const at = first[0];
  if (!at || percent < 3 || percent < 0.6 * all) return false;
  const message = 'The efficiencies are in percent but the sheet is set to fractions. Set the efficiency unit to %.';
  context.report('error', 'efficiency-in-percent', message, { part: 'speed-line', ...at });
  return true;
}

/** In plain words, what is wrong with one efficiency; null when nothing is. */
export function efficiencyProblem(
  context: AuditContext,
  value: number,
): { severity: 'error' | 'warning'; code: string; text: string } | null {
  const { words } = context;
  if (!Number.isFinite(value)) {
    return {
      severity: 'error',
      code: 'efficiency-missing',
      text: 'the efficiency is not a number. Enter it or leave it empty.',
    };
  }
  if (value > 1.5 && value <= 100) {
    const read = `${Number((value / 100).toFixed(4))}`;
    return {
      severity: 'error',
      code: 'efficiency-in-percent',
      text: `the efficiency ${Number(value.toFixed(2))} looks like percent on a sheet of fractions: ${read} is probably meant.`,
    };
  }
  if (value <= 0 || value >= 1) {
    const text = `the efficiency ${words.efficiency(value)} is not between 0 and 1. Check it, or leave it empty.`;
    return { severity: 'error', code: 'efficiency-impossible', text };
  }
  if (value < EFFICIENCY_LOW || value > EFFICIENCY_HIGH) {
    const text = `the efficiency ${words.efficiency(value)} is outside ${EFFICIENCY_LOW} to ${EFFICIENCY_HIGH}. Check it on the sheet.`;
    return { severity: 'warning', code: 'efficiency-doubtful', text };
  }
  return null;
}

function efficiencies(context: AuditContext, lineIndex: number): void {
  const line = context.sheet.speedLines[lineIndex]!;
  line.points.forEach((p, i) => {
    if (p.efficiency === undefined) return;
    const problem = efficiencyProblem(context, p.efficiency);
    if (!problem) return;
    const message = `${placeWords(context, line.speedRpm, p.flow, i)}: ${problem.text}`;
    context.report(problem.severity, problem.code, message, { part: 'speed-line', line: lineIndex, point: i });
  });
}

/** Rounded sheets stand off by up to 0.024 of their own neighbours where points are few, measured lines by 0.007. */
const STANDS_OFF = 0.03;
/** Efficiencies are read to 1.5 points (shared default of the spread: common practice, no source). */
const READING = 0.015;

function efficiencyStandsOff(context: AuditContext, line: AuditLine): void {
  const { words } = context;
  const points = line.ordered.filter((p) => p.efficiency !== null && p.efficiency > 0 && p.efficiency < 1);
  const found = standsOff(points, (p) => p.efficiency ?? 0, { least: STANDS_OFF, noise: READING });
  if (!found) return;
  const { point, residual } = found;
  const value = point.efficiency ?? 0;
  const near = Number.isFinite(residual) ? `, which put it near ${(value - residual).toFixed(2)}` : '';
  if (value < EFFICIENCY_LOW || value > EFFICIENCY_HIGH) return;
  const message = `Line ${words.speed(line.speedRpm)} at ${words.flow(point.flow)}: the efficiency ${words.efficiency(value)} stands off its neighbours${near}. Check it on the sheet.`;
  context.report('warning', 'efficiency-stands-off', message, {
    part: 'speed-line',
    line: line.index,
    point: point.index,
  });
}

/** A point is named by its flow, not its number: tables have empty rows that the sheet does not count. */
function placeWords(context: AuditContext, speedRpm: number, flow: number, index: number): string {
  const line = `Line ${context.words.speed(speedRpm)}`;
  return Number.isFinite(flow) ? `${line} at ${context.words.flow(flow)}` : `${line}, point ${index + 1}`;
}

function countLines(context: AuditContext): void {
  const usable = context.lines.filter((l) => l.typed.length >= 2).length;
  const first = { part: 'speed-line', line: 0 } as const;
  const many = `${usable} speed line${usable === 1 ? '' : 's'}`;
  if (usable < 2) {
    const message = `${usable === 0 ? 'No speed line' : 'Only one speed line'} with two or more points. A map needs at least two speed lines: add ${usable === 0 ? 'them' : 'another'}.`;
    context.report('error', 'too-few-lines', message, first);
  } else if (usable < 5) {
    const message = `Only ${many}: what lies between them is a guess over wide gaps. Read more lines off the sheet if it has them.`;
    context.report('warning', 'few-lines', message, first);
  } else if (usable < 8) {
    // SAE J1826-2022 as summarised by tnlab.org: at least 8 speed lines; the standard's own text was not seen.
    const message = `${many}; a map measured to SAE J1826 has at least 8. Add those the sheet still has.`;
    context.report('note', 'under-eight-lines', message, first);
  }
}

function countPoints(context: AuditContext, line: AuditLine): void {
  const n = line.typed.length;
  if (n >= 4) return;
  const name = line.speedRpm > 0 ? `Line ${context.words.speed(line.speedRpm)}` : `Speed line ${line.index + 1}`;
  const has = n === 0 ? 'no point' : n === 1 ? 'only one point' : `only ${n} points`;
  const place = { part: 'speed-line', line: line.index } as const;
  const [none, few] = [
    `${name} has ${has}; two are the least, six or more are good. Add points or delete the line.`,
    `${name} has ${has}: its shape is a guess. Read more points off the sheet, closest where the line bends.`,
  ];
  if (n < 2) context.report('error', 'too-few-points', none, place);
  else context.report('warning', 'few-points', few, place);
}

/**
 * Points that stand off: a pressure ratio or a flow that is out of all proportion to the rest of its line, or a point far from a
 * smooth curve through its neighbours when measured by the line's own scatter. The limits were set so that analytic compressors read
 * with sheet rounding and NASA's measured vaned-diffuser lines give none. No published source for such limits: common practice.
 * @returns for each line of the context the indices of the points that stand off.
 */
export function findStrayPoints(context: AuditContext): ReadonlySet<number>[] {
  return context.lines.map((line) => {
    const off = new Set<number>();
    // One slip hides another: take the worst out and look again, never more than a third of a line.
    const most = Math.floor(line.typed.length / 3);
    while (off.size < most) {
      const left = line.typed.filter((p) => !off.has(p.index));
      const found = outOfProportion(left) ?? offTheCurve(left);
      if (!found) break;
      off.add(found.point.index);
      report(context, line, found);
    }
    return off;
  });
}

interface Stray {
  point: AuditPoint;
  kind: 'flow' | 'ratio' | 'curve';
}

function outOfProportion(points: readonly AuditPoint[]): Stray | null {
  if (points.length < 3) return null;
  // With few points the steps between them are wide by themselves.
  const few = points.length < 6;
  const byFlow = [...points].sort((a, b) => a.flow - b.flow);
  const byRatio = [...points].sort((a, b) => a.ratio - b.ratio);
  const last = points.length - 1;
  if (byRatio[last]!.ratio - 1 > (few ? 3 : 1.5) * Math.max(0.1, byRatio[last - 1]!.ratio - 1)) {
    return { point: byRatio[last]!, kind: 'ratio' };
  }
  if (byFlow[last]!.flow > (few ? 2.5 : 1.8) * byFlow[last - 1]!.flow) return { point: byFlow[last]!, kind: 'flow' };
  if (byFlow[0]!.flow < (few ? 0.2 : 0.35) * byFlow[1]!.flow) return { point: byFlow[0]!, kind: 'flow' };
  return null;
}

/** A residual must exceed this share of the line's size: rounded sheets reach 0.04, NASA's measured lines 0.047. */
const CURVE_SHARE = 0.06;
/** Reading tolerance of a sheet, shares of flow and of pressure ratio (shared default of the spread: common practice, no source). */
const FLOW_TOLERANCE = 0.01;
const RATIO_TOLERANCE = 0.005;

function offTheCurve(points: readonly AuditPoint[]): Stray | null {
  const found = standsOff(points, turned, { least: CURVE_SHARE, noise: readingNoise(points) });
  return found && { point: found.point, kind: 'curve' };
}

/** What reading tolerance makes of a line's shape: large for a narrow line, whose span is a small part of its flow. */
function readingNoise(points: readonly AuditPoint[]): number {
  const flows = points.map((p) => p.flow);
  const ratios = points.map((p) => p.ratio);
  const high = Math.max(...flows);
  const top = Math.max(...ratios);
  const flowSpan = high - Math.min(...flows) || high;
  const ratioSpan = top - Math.min(...ratios) || top;
  return Math.hypot((FLOW_TOLERANCE * high) / flowSpan, (RATIO_TOLERANCE * top) / ratioSpan);
}

/** How much larger than the largest residual of the rest: beyond reading noise, and within it (a line read finely shows less). */
const TIMES_BEYOND_NOISE = 2.5;
const TIMES_WITHIN_NOISE = 6;

/**
 * The point that stands off a smooth curve through its neighbours, if one does. A bad point spoils the residuals beside it too: the
 * one to blame is the one without which the rest is smoothest, and it stands off only if the rest then IS smooth: the more so, the
 * less it stands out of what reading noise makes.
 * @param limits least residual that counts, and the residual that reading noise may make.
 * @returns null for fewer than six points: too few to tell a slip from a bend.
 */
export function standsOff(
  points: readonly AuditPoint[],
  of: ValueOf,
  limits: { least: number; noise: number },
): Residual | null {
  if (points.length < 6) return null;
  const residuals = curveResiduals(points, of);
  const worst = residuals.reduce((a, b) => (Math.abs(b.residual) > Math.abs(a.residual) ? b : a));
  const size = Math.abs(worst.residual);
  if (size < limits.least) return null;
  const ordered = orderAlong(points);
  const at = ordered.indexOf(worst.point);
  let best = { point: worst.point, left: Infinity };
  for (const point of ordered.slice(Math.max(0, at - 2), at + 3)) {
    const rest = curveResiduals(
      points.filter((p) => p !== point),
      of,
    );
    const left = Math.max(...rest.map((r) => Math.abs(r.residual)));
    if (left < best.left) best = { point, left };
  }
  const times = size > 3 * limits.noise ? TIMES_BEYOND_NOISE : TIMES_WITHIN_NOISE;
  // Few points agree with each other by chance.
  const few = points.length < 8 ? 1.5 : 1;
  if (size < few * times * best.left) return null;
  const own = residuals.find((r) => r.point === best.point);
  // An end of the line has no neighbours on both sides: nothing says where it belongs.
  if (own === undefined) return { point: best.point, residual: Number.NaN };
  return Math.abs(own.residual) < limits.least ? null : own;
}

type ValueOf = (point: AuditPoint, axes: (point: AuditPoint) => Axes) => number;
const turned: ValueOf = (point, axes) => axes(point).v;

interface Axes {
  u: number;
  v: number;
}
export interface Residual {
  point: AuditPoint;
  residual: number;
}

/**
 * How far each inner point stands off the curve through its two neighbours on either side. The line is turned by 45 degrees in shares
 * of its own size, where it is a single-valued function from the flat surge end to the near-vertical choke end.
 * @param of the value to look at, given the turned axes. Every other length is a share of the line's size.
 */
function curveResiduals(points: readonly AuditPoint[], of: ValueOf): Residual[] {
  const ordered = orderAlong(points);
  const axes = turnedAxes(ordered);
  const us = ordered.map((p) => axes(p).u);
  const values = ordered.map((p) => of(p, axes));
  const residuals: Residual[] = [];
  for (let i = 1; i + 1 < ordered.length; i++) {
    residuals.push({ point: ordered[i]!, residual: values[i]! - expected(us, values, i) });
  }
  return residuals;
}

function turnedAxes(ordered: readonly AuditPoint[]): (point: AuditPoint) => Axes {
  const along = alongKey(ordered);
  const flows = ordered.map((p) => p.flow);
  const ratios = ordered.map((p) => p.ratio);
  const flowLow = Math.min(...flows);
  const ratioLow = Math.min(...ratios);
  const flowSpan = Math.max(...flows) - flowLow || 1;
  const ratioSpan = Math.max(...ratios) - ratioLow || 1;
  return (p) => ({ u: along(p), v: ((p.flow - flowLow) / flowSpan + (p.ratio - ratioLow) / ratioSpan) / Math.SQRT2 });
}

/** Lagrange through up to two neighbours a side; neighbours that coincide in u are merged, for measured points do. */
function expected(us: readonly number[], values: readonly number[], at: number): number {
  const nodes: { u: number; value: number; count: number }[] = [];
  for (const i of [at - 1, at + 1, at - 2, at + 2]) {
    const u = us[i];
    const value = values[i];
    if (u === undefined || value === undefined) continue;
    const close = nodes.find((n) => Math.abs(n.u - u) < 0.04);
    if (close) {
      close.value = (close.value * close.count + value) / (close.count + 1);
      close.u = (close.u * close.count + u) / (close.count + 1);
      close.count++;
    } else nodes.push({ u, value, count: 1 });
  }
  const u = us[at]!;
  return nodes.reduce((sum, n) => {
    const weight = nodes.reduce((w, m) => (m === n ? w : (w * (u - m.u)) / (n.u - m.u)), 1);
    return sum + weight * n.value;
  }, 0);
}

function report(context: AuditContext, line: AuditLine, stray: Stray): void {
  const { words } = context;
  const { point } = stray;
  const where = `Line ${words.speed(line.speedRpm)} at ${words.flow(point.flow)}`;
  const what = {
    flow: 'this flow is out of proportion to the rest of the line',
    ratio: `the pressure ratio ${words.ratio(point.ratio)} is out of proportion to the rest of the line`,
    curve: `the point with pressure ratio ${words.ratio(point.ratio)} stands off the curve through its neighbours`,
  }[stray.kind];
  const message = `${where}: ${what}. Read it off the sheet again.`;
  context.report('warning', 'point-stands-off', message, { part: 'speed-line', line: line.index, point: point.index });
}
