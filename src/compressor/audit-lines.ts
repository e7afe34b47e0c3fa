import {
  type AuditContext,
  type AuditLine,
  type AuditPoint,
  firstCut,
  groupedNumber,
  offsetFrom,
  type Place,
} from './audit-context.ts';

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
  const message = `Lines ${words.speed(low.speedRpm)} and ${words.speed(high.speedRpm)} cross near ${at}. Speed lines never do: check the ${words.speed(wrong.line.speedRpm)} line at ${words.flow(wrong.point.flow)} and beside it.`;
  context.report('warning', 'lines-cross', message, {
    part: 'speed-line',
    line: wrong.line.index,
    point: wrong.point.index,
  });
}

function outOfOrder(context: AuditContext, low: AuditLine, high: AuditLine): void {
  const { words } = context;
  const message = `The ${words.speed(high.speedRpm)} line lies below the ${words.speed(low.speedRpm)} line. A higher speed gives more pressure and flow: the two speeds may be swapped.`;
  context.report('warning', 'speed-out-of-order', message, { part: 'speed-line', line: high.index });
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
  const message = `Line ${words.speed(line.speedRpm)} doubles back: the flow falls from ${words.flow(a.flow)} to ${words.flow(b.flow)}. Check both, or put the points in order from surge to choke.`;
  context.report('warning', 'doubles-back', message, { part: 'speed-line', line: line.index, point: b.index });
}

function reportUnordered(context: AuditContext, lines: readonly AuditLine[]): void {
  const first = lines[0];
  if (!first) return;
  const which =
    lines.length === 1 ? `line ${context.words.speed(first.speedRpm)}` : `${lines.length} of the speed lines`;
  const message = `The points of ${which} are not in order from surge to choke. Sort them along the line, so that the table reads as the curve does.`;
  context.report('note', 'points-unordered', message, { part: 'speed-line', line: first.index });
}

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
  const { words } = context;
  for (const line of context.lines) {
    if (Number.isFinite(line.speedRpm) && line.speedRpm > 0) continue;
    const message = `Speed line ${line.index + 1} has no speed. Enter its corrected speed in rpm, or delete the line.`;
    context.report('error', 'speed-missing', message, { part: 'speed-line', line: line.index });
  }
  if (smallSpeeds(context)) return;
  duplicateSpeeds(context);
  for (const { line, expectedRpm } of doubtfulSpeeds(context.rising)) {
    const rounded = Math.round(expectedRpm / 1000) * 1000 || Math.round(expectedRpm);
    const message = `The speed ${words.speed(line.speedRpm)} of this line does not go with its pressure ratios: the other lines put it near ${words.speed(rounded)}. Check it on the sheet.`;
    context.report('warning', 'speed-doubtful', message, { part: 'speed-line', line: line.index });
  }
}

function smallSpeeds(context: AuditContext): boolean {
  const { rising } = context;
  const top = rising.at(-1);
  if (!top || top.speedRpm >= 2000 || headOf(top) < 0.02) return false;
  const message = `The highest speed is ${groupedNumber(top.speedRpm, top.speedRpm < 10 ? 2 : 0)} rpm, too little for its pressure ratio. If speeds are in percent or in thousands of rpm, enter them in rpm.`;
  context.report('warning', 'speed-unit', message, { part: 'speed-line', line: top.index });
  return true;
}

/** Two speeds closer than this share are one and the same line. */
const SAME = 0.002;

function duplicateSpeeds(context: AuditContext): void {
  const { words } = context;
  const rising = context.lines.filter((l) => l.speedRpm > 0).sort((a, b) => a.speedRpm - b.speedRpm);
  for (let i = 1; i < rising.length; i++) {
    const one = rising[i - 1]!;
    const other = rising[i]!;
    if (other.speedRpm - one.speedRpm > SAME * other.speedRpm) continue;
    const message = `Two lines stand at ${words.speed(other.speedRpm)}. If they are one line, put their points together; if not, one of the two speeds is a slip.`;
    context.report('warning', 'speed-twice', message, { part: 'speed-line', line: Math.max(one.index, other.index) });
  }
}

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
    const message =
      'No surge line: the left end of every speed line is taken as surge. Enter the surge line if the sheet shows one.';
    context.report('note', 'no-surge-line', message, { part: 'surge-line' });
    return;
  }
  const pairs: Pair[] = [];
  typed.forEach((p, index) => {
    if (p.flow > 0 && p.pressureRatio >= 1 && Number.isFinite(p.flow) && Number.isFinite(p.pressureRatio)) {
      pairs.push({ index, flow: p.flow, ratio: p.pressureRatio });
    } else {
      const message = `Surge line, point ${index + 1}: a flow above zero and a pressure ratio of at least 1 are needed. Enter both or delete the point.`;
      context.report('error', 'surge-point-invalid', message, { part: 'surge-line', point: index });
    }
  });
  if (pairs.length === 1) {
    const message = 'The surge line has only one point. Enter at least two, better one at every speed line.';
    context.report('warning', 'surge-line-short', message, { part: 'surge-line', point: pairs[0]!.index });
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
    const message = `The surge line does not rise steadily: from ${words.flow(a.flow)}, pressure ratio ${words.ratio(a.ratio)} it goes to ${words.flow(b.flow)}, ${words.ratio(b.ratio)}. Check both and their order.`;
    context.report('warning', 'surge-line-not-rising', message, { part: 'surge-line', point: b.index });
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
  const { words, scale } = context;
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
    const message = `The surge line cuts ${count > 1 ? `${count} speed lines, most of all ` : ''}the ${words.speed(right.line.speedRpm)} line: it stands at ${words.flow(right.surge.flow)} where the line begins at ${words.flow(right.end.flow)}. Check the surge line there, or the line's first point.`;
    context.report('warning', 'surge-line-right', message, { part: 'surge-line', point: right.surge.near.index });
  }
  if (left.gap < -FAR) {
    const message = `The ${words.speed(left.line.speedRpm)} line begins at ${words.flow(left.end.flow)}, far right of the surge line at ${words.flow(left.surge.flow)}. Check both: the first points of the line may be missing.`;
    context.report('warning', 'surge-line-far', message, {
      part: 'speed-line',
      line: left.line.index,
      point: left.end.index,
    });
  }
}
