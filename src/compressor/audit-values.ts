import type { AuditContext, AuditLine } from './audit-context.ts';
import { standsOff } from './audit-stray.ts';

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
  const { words, findings, sheet } = context;
  const line = sheet.speedLines[lineIndex]!;
  line.points.forEach((p, i) => {
    const where = placeWords(context, line.speedRpm, p.flow, i);
    const place = { part: 'speed-line', line: lineIndex, point: i } as const;
    const add = (severity: 'error' | 'warning', code: string, text: string) =>
      findings.push({ severity, code, message: `${where}: ${text}`, place });
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
  context.findings.push({
    severity: 'error',
    code: 'efficiency-in-percent',
    message: 'The efficiencies are in percent but the sheet is set to fractions. Set the efficiency unit to %.',
    place: { part: 'speed-line', ...at },
  });
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
    context.findings.push({
      severity: problem.severity,
      code: problem.code,
      message: `${placeWords(context, line.speedRpm, p.flow, i)}: ${problem.text}`,
      place: { part: 'speed-line', line: lineIndex, point: i },
    });
  });
}

/** Rounded sheets stand off by up to 0.024 of their own neighbours where points are few, measured lines by 0.007. */
const STANDS_OFF = 0.03;
/** Efficiencies are read to 1.5 points (shared default of the spread: common practice, no source). */
const READING = 0.015;

function efficiencyStandsOff(context: AuditContext, line: AuditLine): void {
  const { words, findings } = context;
  const points = line.ordered.filter((p) => p.efficiency !== null && p.efficiency > 0 && p.efficiency < 1);
  const found = standsOff(points, (p) => p.efficiency ?? 0, { least: STANDS_OFF, noise: READING });
  if (!found) return;
  const { point, residual } = found;
  const value = point.efficiency ?? 0;
  const near = Number.isFinite(residual) ? `, which put it near ${(value - residual).toFixed(2)}` : '';
  if (value < EFFICIENCY_LOW || value > EFFICIENCY_HIGH) return;
  findings.push({
    severity: 'warning',
    code: 'efficiency-stands-off',
    message: `Line ${words.speed(line.speedRpm)} at ${words.flow(point.flow)}: the efficiency ${words.efficiency(value)} stands off its neighbours${near}. Check it on the sheet.`,
    place: { part: 'speed-line', line: line.index, point: point.index },
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
    context.findings.push({
      severity: 'error',
      code: 'too-few-lines',
      message: `${usable === 0 ? 'No speed line' : 'Only one speed line'} with two or more points. A map needs at least two speed lines: add ${usable === 0 ? 'them' : 'another'}.`,
      place: first,
    });
  } else if (usable < 5) {
    context.findings.push({
      severity: 'warning',
      code: 'few-lines',
      message: `Only ${many}: what lies between them is a guess over wide gaps. Read more lines off the sheet if it has them.`,
      place: first,
    });
  } else if (usable < 8) {
    // SAE J1826-2022 as summarised by tnlab.org: at least 8 speed lines; the standard's own text was not seen.
    context.findings.push({
      severity: 'note',
      code: 'under-eight-lines',
      message: `${many}; a map measured to SAE J1826 has at least 8. Add those the sheet still has.`,
      place: first,
    });
  }
}

function countPoints(context: AuditContext, line: AuditLine): void {
  const n = line.typed.length;
  if (n >= 4) return;
  const name = line.speedRpm > 0 ? `Line ${context.words.speed(line.speedRpm)}` : `Speed line ${line.index + 1}`;
  const has = n === 0 ? 'no point' : n === 1 ? 'only one point' : `only ${n} points`;
  context.findings.push(
    n < 2
      ? {
          severity: 'error',
          code: 'too-few-points',
          message: `${name} has ${has}; two are the least, six or more are good. Add points or delete the line.`,
          place: { part: 'speed-line', line: line.index },
        }
      : {
          severity: 'warning',
          code: 'few-points',
          message: `${name} has ${has}: its shape is a guess. Read more points off the sheet, closest where the line bends.`,
          place: { part: 'speed-line', line: line.index },
        },
  );
}
