import type { AuditContext, AuditPoint } from './audit-context.ts';
import { flowReadingStep, readingStep } from './reading-noise.ts';

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
      context.findings.push({
        severity: 'note',
        code: 'point-twice',
        message: `Line ${words.speed(line.speedRpm)} at ${words.flow(point.flow)}: the point with pressure ratio ${words.ratio(point.ratio)} stands there twice. Delete one of the two.`,
        place: { part: 'speed-line', line: line.index, point: point.index },
      });
    }
  }
}
