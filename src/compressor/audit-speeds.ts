import type { AuditContext, AuditLine } from './audit-context.ts';
import { groupedNumber } from './audit-words.ts';

/** Isentropic exponent (gamma - 1) / gamma of cold air: good enough to compare lines of one sheet with each other. */
const EXPONENT = 0.2857;

/** Isentropic head over cp T of the reference state; grows nearly as the square of the speed (similarity of geometrically equal flow). */
export function headOf(line: AuditLine): number {
  const highest = Math.max(...line.ordered.map((p) => p.ratio));
  return highest ** EXPONENT - 1;
}

/** A line whose speed does not go with its head. */
export interface DoubtfulSpeed {
  line: AuditLine;
  /** Where the heads of the other lines put it, rev/min. */
  expectedRpm: number;
}

/** Share by which a speed may stand off the law through its neighbours, between lines and at either end of the sheet. */
const BETWEEN = 0.03;
const AT_END = 0.06;

/**
 * Speeds that do not go with the head of their lines. Head grows with the square of speed, so ln N over ln head is nearly straight;
 * each line is held against the straight line through its neighbours, the worst is taken out, and the rest is looked at again.
 * @returns none for fewer than four lines: then there is no telling which one is wrong.
 */
export function doubtfulSpeeds(lines: readonly AuditLine[]): DoubtfulSpeed[] {
  let left = lines
    .map((line) => ({ line, head: Math.log(headOf(line)), speed: Math.log(line.speedRpm) }))
    .filter((l) => Number.isFinite(l.head))
    .sort((a, b) => a.head - b.head);
  const found: DoubtfulSpeed[] = [];
  while (left.length >= 4) {
    const worst = worstOf(left);
    if (worst.excess < 1) break;
    // A slip spoils its neighbours' predictions too: the one to blame is the one without which the rest agrees best.
    let best = { i: worst.i, left: Infinity };
    for (let i = Math.max(0, worst.i - 2); i <= Math.min(left.length - 1, worst.i + 2); i++) {
      const rest = worstOf(left.filter((_, k) => k !== i)).excess;
      if (rest < best.left) best = { i, left: rest };
    }
    found.push({ line: left[best.i]!.line, expectedRpm: Math.exp(deviation(left, best.i).expected) });
    left = left.filter((_, i) => i !== best.i);
  }
  return found;
}

interface HeadAndSpeed {
  head: number;
  speed: number;
}

function worstOf(lines: readonly HeadAndSpeed[]): { i: number; excess: number } {
  let worst = { i: 0, excess: 0 };
  if (lines.length < 3) return worst;
  lines.forEach((_, i) => {
    const { excess } = deviation(lines, i);
    if (excess > worst.excess) worst = { i, excess };
  });
  return worst;
}

function deviation(lines: readonly HeadAndSpeed[], i: number): { expected: number; excess: number } {
  const inner = i > 0 && i + 1 < lines.length;
  const a = lines[inner ? i - 1 : i === 0 ? 1 : i - 2]!;
  const b = lines[inner ? i + 1 : i === 0 ? 2 : i - 1]!;
  const span = b.head - a.head;
  const t = span > 1e-6 ? (lines[i]!.head - a.head) / span : 0;
  const expected = a.speed + t * (b.speed - a.speed);
  // The straight law is trusted less the farther it is carried beyond its two lines.
  const beyond = Math.max(0, -t, t - 1);
  const allowed = inner ? BETWEEN : AT_END * Math.max(1, beyond);
  return { expected, excess: Math.abs(lines[i]!.speed - expected) / allowed };
}

/** Speeds that are not numbers, given twice, in percent or thousands, or that do not go with the lines' heads. */
export function auditSpeeds(context: AuditContext): void {
  const { words, findings } = context;
  for (const line of context.lines) {
    if (Number.isFinite(line.speedRpm) && line.speedRpm > 0) continue;
    findings.push({
      severity: 'error',
      code: 'speed-missing',
      message: `Speed line ${line.index + 1} has no speed. Enter its corrected speed in rpm, or delete the line.`,
      place: { part: 'speed-line', line: line.index },
    });
  }
  if (smallSpeeds(context)) return;
  duplicateSpeeds(context);
  for (const { line, expectedRpm } of doubtfulSpeeds(context.rising)) {
    const rounded = Math.round(expectedRpm / 1000) * 1000 || Math.round(expectedRpm);
    findings.push({
      severity: 'warning',
      code: 'speed-doubtful',
      message: `The speed ${words.speed(line.speedRpm)} of this line does not go with its pressure ratios: the other lines put it near ${words.speed(rounded)}. Check it on the sheet.`,
      place: { part: 'speed-line', line: line.index },
    });
  }
}

function smallSpeeds(context: AuditContext): boolean {
  const { rising, findings } = context;
  const top = rising.at(-1);
  if (!top || top.speedRpm >= 2000 || headOf(top) < 0.02) return false;
  findings.push({
    severity: 'warning',
    code: 'speed-unit',
    message: `The highest speed is ${groupedNumber(top.speedRpm, top.speedRpm < 10 ? 2 : 0)} rpm, too little for its pressure ratio. If speeds are in percent or in thousands of rpm, enter them in rpm.`,
    place: { part: 'speed-line', line: top.index },
  });
  return true;
}

/** Two speeds closer than this share are one and the same line. */
const SAME = 0.002;

function duplicateSpeeds(context: AuditContext): void {
  const { words, findings } = context;
  const rising = context.lines.filter((l) => l.speedRpm > 0).sort((a, b) => a.speedRpm - b.speedRpm);
  for (let i = 1; i < rising.length; i++) {
    const one = rising[i - 1]!;
    const other = rising[i]!;
    if (other.speedRpm - one.speedRpm > SAME * other.speedRpm) continue;
    findings.push({
      severity: 'warning',
      code: 'speed-twice',
      message: `Two lines stand at ${words.speed(other.speedRpm)}. If they are one line, put their points together; if not, one of the two speeds is a slip.`,
      place: { part: 'speed-line', line: Math.max(one.index, other.index) },
    });
  }
}
