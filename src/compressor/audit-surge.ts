import type { AuditContext } from './audit-context.ts';

interface Pair {
  index: number;
  flow: number;
  ratio: number;
}

/** Shares of the map's largest flow: reading noise, and a surge line that has nothing to do with the lines' ends. */
const NOISE = 0.015;
const FAR = 0.12;

/** The surge line: numbers, rising, and at the left ends of the speed lines. */
export function auditSurgeLine(context: AuditContext): void {
  const typed = context.sheet.surgeLine;
  if (!typed || typed.length === 0) {
    context.findings.push({
      severity: 'note',
      code: 'no-surge-line',
      message:
        'No surge line: the left end of every speed line is taken as surge. Enter the surge line if the sheet shows one.',
      place: { part: 'surge-line' },
    });
    return;
  }
  const pairs: Pair[] = [];
  typed.forEach((p, index) => {
    if (p.flow > 0 && p.pressureRatio >= 1 && Number.isFinite(p.flow) && Number.isFinite(p.pressureRatio)) {
      pairs.push({ index, flow: p.flow, ratio: p.pressureRatio });
    } else {
      context.findings.push({
        severity: 'error',
        code: 'surge-point-invalid',
        message: `Surge line, point ${index + 1}: a flow above zero and a pressure ratio of at least 1 are needed. Enter both or delete the point.`,
        place: { part: 'surge-line', point: index },
      });
    }
  });
  if (pairs.length === 1) {
    context.findings.push({
      severity: 'warning',
      code: 'surge-line-short',
      message: 'The surge line has only one point. Enter at least two, better one at every speed line.',
      place: { part: 'surge-line', point: pairs[0]!.index },
    });
  }
  if (pairs.length < 2) return;
  if (rises(context, pairs)) againstLines(context, pairs);
}

function rises(context: AuditContext, pairs: readonly Pair[]): boolean {
  const up = pairs[0]!.ratio <= pairs.at(-1)!.ratio ? pairs : [...pairs].reverse();
  for (let i = 1; i < up.length; i++) {
    const a = up[i - 1]!;
    const b = up[i]!;
    const falls = (a.ratio - b.ratio) / context.scale.ratio > NOISE;
    const back = (a.flow - b.flow) / context.scale.flow > NOISE;
    if (!falls && !back) continue;
    const { words } = context;
    context.findings.push({
      severity: 'warning',
      code: 'surge-line-not-rising',
      message: `The surge line does not rise steadily: from ${words.flow(a.flow)}, pressure ratio ${words.ratio(a.ratio)} it goes to ${words.flow(b.flow)}, ${words.ratio(b.ratio)}. Check both and their order.`,
      place: { part: 'surge-line', point: b.index },
    });
    return false;
  }
  return true;
}

/** Flow of the surge line at a pressure ratio, null outside it. */
function flowAt(pairs: readonly Pair[], ratio: number): { flow: number; near: Pair } | null {
  for (let i = 1; i < pairs.length; i++) {
    const a = pairs[i - 1]!;
    const b = pairs[i]!;
    if ((ratio - a.ratio) * (ratio - b.ratio) > 0 || a.ratio === b.ratio) continue;
    const t = (ratio - a.ratio) / (b.ratio - a.ratio);
    return { flow: a.flow + t * (b.flow - a.flow), near: t < 0.5 ? a : b };
  }
  return null;
}

function againstLines(context: AuditContext, pairs: readonly Pair[]): void {
  const { words, findings, scale } = context;
  const gaps = context.rising.flatMap((line) => {
    const end = line.ordered[0]!;
    const surge = flowAt(pairs, end.ratio);
    return surge ? [{ line, end, surge, gap: (surge.flow - end.flow) / scale.flow }] : [];
  });
  if (gaps.length === 0) return;
  const right = gaps.reduce((a, b) => (b.gap > a.gap ? b : a));
  const left = gaps.reduce((a, b) => (b.gap < a.gap ? b : a));
  // Reading noise in shares of the map, but also of the flow itself: surge flow at low speed is small.
  if (right.gap > NOISE && right.surge.flow > 1.05 * right.end.flow) {
    const count = gaps.filter((g) => g.gap > NOISE).length;
    findings.push({
      severity: 'warning',
      code: 'surge-line-right',
      message: `The surge line cuts ${count > 1 ? `${count} speed lines, most of all ` : ''}the ${words.speed(right.line.speedRpm)} line: it stands at ${words.flow(right.surge.flow)} where the line begins at ${words.flow(right.end.flow)}. Check the surge line there, or the line's first point.`,
      place: { part: 'surge-line', point: right.surge.near.index },
    });
  }
  if (left.gap < -FAR) {
    findings.push({
      severity: 'warning',
      code: 'surge-line-far',
      message: `The ${words.speed(left.line.speedRpm)} line begins at ${words.flow(left.end.flow)}, far right of the surge line at ${words.flow(left.surge.flow)}. Check both: the first points of the line may be missing.`,
      place: { part: 'speed-line', line: left.line.index, point: left.end.index },
    });
  }
}
