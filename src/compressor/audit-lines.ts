import type { AuditContext, AuditLine, AuditPoint } from './audit-context.ts';
import { firstCut, offsetFrom, type Place } from './audit-geometry.ts';
import { doubtfulSpeeds } from './audit-speeds.ts';

/** Depth, as a share of the map, by which lines must lie through each other before it is more than reading noise. */
const DEPTH = 0.008;
/** Share of a line's largest flow that its flow may fall along the line: scatter near choke, rounding. */
const BACK = 0.02;

/** What is wrong with the shape of lines: crossing, doubling back, in the wrong order of speed. */
export function auditLines(context: AuditContext): void {
  reportUnordered(
    context,
    context.lines.filter((line) => doublingBack(context, line) === 'unordered'),
  );
  const suspects = new Set(doubtfulSpeeds(context.rising).map((d) => d.line.index));
  for (let i = 1; i < context.rising.length; i++) {
    const low = context.rising[i - 1]!;
    const high = context.rising[i]!;
    // A speed already named as doubtful would only be named again as one that is out of order.
    compare(context, low, high, suspects.has(low.index) || suspects.has(high.index));
  }
}

export function pathOf(context: AuditContext, points: readonly { flow: number; ratio: number }[]): Place[] {
  return points.map((p) => ({ x: p.flow / context.scale.flow, y: (p.ratio - 1) / context.scale.ratio }));
}

interface Deepest {
  depth: number;
  line: AuditLine;
  point: AuditPoint;
}

function compare(context: AuditContext, low: AuditLine, high: AuditLine, speedIsDoubtful: boolean): void {
  const lowPath = pathOf(context, low.ordered);
  const highPath = pathOf(context, high.ordered);
  let right = 0;
  let wrong: Deepest | null = null;
  const look = (line: AuditLine, path: readonly Place[], other: readonly Place[], sign: 1 | -1): void => {
    path.forEach((place, i) => {
      const offset = offsetFrom(other, place);
      if (!offset.beside) return;
      const depth = sign * offset.distance;
      right = Math.max(right, depth);
      if (-depth > (wrong?.depth ?? DEPTH)) wrong = { depth: -depth, line, point: line.ordered[i]! };
    });
  };
  look(high, highPath, lowPath, 1);
  look(low, lowPath, highPath, -1);
  if (wrong === null) return;
  if (right > DEPTH) {
    const cut = firstCut(lowPath, highPath);
    if (cut) crossing(context, low, high, wrong, cut);
  } else if (!speedIsDoubtful) outOfOrder(context, low, high);
}

function crossing(context: AuditContext, low: AuditLine, high: AuditLine, wrong: Deepest, cut: Place): void {
  const { words, scale } = context;
  const at = `${words.flow(cut.x * scale.flow)}, pressure ratio ${words.ratio(1 + cut.y * scale.ratio)}`;
  context.findings.push({
    severity: 'warning',
    code: 'lines-cross',
    message: `Lines ${words.speed(low.speedRpm)} and ${words.speed(high.speedRpm)} cross near ${at}. Speed lines never do: check the ${words.speed(wrong.line.speedRpm)} line at ${words.flow(wrong.point.flow)} and beside it.`,
    place: { part: 'speed-line', line: wrong.line.index, point: wrong.point.index },
  });
}

function outOfOrder(context: AuditContext, low: AuditLine, high: AuditLine): void {
  const { words } = context;
  context.findings.push({
    severity: 'warning',
    code: 'speed-out-of-order',
    message: `The ${words.speed(high.speedRpm)} line lies below the ${words.speed(low.speedRpm)} line. A higher speed gives more pressure and flow: the two speeds may be swapped.`,
    place: { part: 'speed-line', line: high.index },
  });
}

/** The flow must not fall from one point to the next as typed, in whichever direction the line was read. */
function doublingBack(context: AuditContext, line: AuditLine): 'ordered' | 'unordered' {
  const kept = new Set(line.ordered.map((p) => p.index));
  const typed = line.typed.filter((p) => kept.has(p.index));
  const from = line.ordered[0];
  const to = line.ordered.at(-1);
  if (!from || !to || typed.length < 3) return 'ordered';
  const points = typed.indexOf(from) <= typed.indexOf(to) ? typed : [...typed].reverse();
  const noise = BACK * Math.max(...points.map((p) => p.flow));
  let furthest = points[0]!;
  let worst: { a: AuditPoint; b: AuditPoint } | null = null;
  let steps = 0;
  points.forEach((b, i) => {
    if (i > 0 && points[i - 1]!.flow - b.flow > noise) steps++;
    const back = furthest.flow - b.flow;
    if (back > noise && back > (worst ? worst.a.flow - worst.b.flow : 0)) worst = { a: furthest, b };
    if (b.flow > furthest.flow) furthest = b;
  });
  if (worst === null) return 'ordered';
  // One or two steps back are slips; more is a table that was sorted by something else.
  if (steps > 2) return 'unordered';
  reportBack(context, line, worst);
  return 'ordered';
}

function reportBack(context: AuditContext, line: AuditLine, { a, b }: { a: AuditPoint; b: AuditPoint }): void {
  const { words } = context;
  context.findings.push({
    severity: 'warning',
    code: 'doubles-back',
    message: `Line ${words.speed(line.speedRpm)} doubles back: the flow falls from ${words.flow(a.flow)} to ${words.flow(b.flow)}. Check both, or put the points in order from surge to choke.`,
    place: { part: 'speed-line', line: line.index, point: b.index },
  });
}

function reportUnordered(context: AuditContext, lines: readonly AuditLine[]): void {
  const first = lines[0];
  if (!first) return;
  const which =
    lines.length === 1 ? `line ${context.words.speed(first.speedRpm)}` : `${lines.length} of the speed lines`;
  context.findings.push({
    severity: 'note',
    code: 'points-unordered',
    message: `The points of ${which} are not in order from surge to choke. Sort them along the line, so that the table reads as the curve does.`,
    place: { part: 'speed-line', line: first.index },
  });
}
