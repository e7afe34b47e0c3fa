import {
  type AuditContext,
  type AuditFinding,
  type AuditLine,
  type AuditPoint,
  LEAST_PRESSURE_RATIO,
  pressureRatioOf,
  rootHeadSensitivity,
  type SimilarityScale,
  toPolar,
} from '../compressor/index.ts';
import type { LineNoise, SuspiciousPoint } from './quality-card.ts';

export interface NoiseScale {
  similarity: SimilarityScale;
  /** kg/s per sheet unit. */
  flowFactor: number;
  /** Full scale, sheet units. */
  fullFlow: number;
  fullRatio: number;
}

/** Fewer points than this do not tell noise from shape. */
const LEAST_POINTS = 5;

interface Node {
  angle: number;
  /** ln of size: noise in it is noise in ln speed. */
  value: number;
  /** Change of value for an error of one full scale in both flow and pressure ratio, root sum square. */
  sensitivity: number;
}

/** The points of a line over the angle of the similarity coordinates, surge first, where a speed line is a smooth single-valued curve. */
function lineNodes(points: readonly AuditPoint[], scale: NoiseScale): Node[] {
  return points
    .filter((p) => p.ratio >= LEAST_PRESSURE_RATIO)
    .map((p) => {
      const polar = toPolar(scale.similarity, p.flow * scale.flowFactor, p.ratio);
      const flowPart = Math.cos((polar.angle * Math.PI) / 2) ** 2;
      const byFlow = (flowPart * scale.fullFlow) / p.flow;
      const byRatio = (1 - flowPart) * rootHeadSensitivity(p.ratio) * scale.fullRatio;
      return { angle: polar.angle, value: Math.log(polar.size), sensitivity: Math.hypot(byFlow, byRatio) };
    })
    .sort((a, b) => b.angle - a.angle);
}

/**
 * Reading noise of one line from how far each inner point lies off the curve through its neighbours, two on either side: a pseudo-residual
 * whose variance is that of one reading times 1 + the sum of the squared weights.
 * Source: Gasser, Sroka & Jennen-Steinmetz, Biometrika 73 (1986) 625, with cubic instead of linear interpolation, so that the line's own
 * curvature does not pass for noise.
 */
export function lineNoise(line: AuditLine, scale: NoiseScale): LineNoise {
  const nodes = lineNodes(line.ordered, scale);
  const result = { line: line.index, speedRpm: line.speedRpm, points: line.ordered.length };
  const residuals = nodes.length < LEAST_POINTS ? [] : pseudoResiduals(nodes);
  if (residuals.length === 0) return { ...result, speedShare: null, fullScaleShare: null };
  const mean = (of: (r: PseudoResidual) => number) => residuals.reduce((sum, r) => sum + of(r), 0) / residuals.length;
  return {
    ...result,
    speedShare: Math.sqrt(mean((r) => r.residual ** 2 / r.weights)),
    fullScaleShare: Math.sqrt(mean((r) => r.residual ** 2 / r.sensitivities)),
  };
}

interface PseudoResidual {
  residual: number;
  /** Sum of squared weights, the point's own 1 included; and of squared weights times sensitivities. */
  weights: number;
  sensitivities: number;
}

function pseudoResiduals(nodes: readonly Node[]): PseudoResidual[] {
  const span = Math.abs(nodes[0]!.angle - nodes[nodes.length - 1]!.angle);
  const apart = (0.2 * span) / (nodes.length - 1);
  const residuals: PseudoResidual[] = [];
  for (let i = 1; i + 1 < nodes.length; i++) {
    const before = neighbours(nodes, i, -1, apart);
    const after = neighbours(nodes, i, 1, apart);
    // A cubic needs four neighbours; at the points next to an end one side lends a second and a third.
    const chosen =
      before.length >= 2 && after.length >= 2
        ? [...before.slice(0, 2), ...after.slice(0, 2)]
        : [...before, ...after].sort((a, b) => distance(nodes, i, a) - distance(nodes, i, b)).slice(0, 4);
    if (chosen.length < 4 || before.length === 0 || after.length === 0) continue;
    residuals.push(residualAt(nodes, i, chosen));
  }
  return residuals;
}

function distance(nodes: readonly Node[], i: number, j: number): number {
  return Math.abs(nodes[i]!.angle - nodes[j]!.angle);
}

/** Up to three neighbours on one side, none nearly at the angle of another: measured points coincide. */
function neighbours(nodes: readonly Node[], i: number, step: 1 | -1, apart: number): number[] {
  const found: number[] = [];
  let last = i;
  for (let j = i + step; j >= 0 && j < nodes.length && found.length < 3; j += step) {
    if (distance(nodes, last, j) < apart) continue;
    found.push(j);
    last = j;
  }
  return found;
}

function residualAt(nodes: readonly Node[], i: number, chosen: readonly number[]): PseudoResidual {
  const own = nodes[i]!;
  let residual = own.value;
  let weights = 1;
  let sensitivities = own.sensitivity ** 2;
  for (const j of chosen) {
    const node = nodes[j]!;
    const weight = chosen.reduce(
      (w, k) => (k === j ? w : (w * (own.angle - nodes[k]!.angle)) / (node.angle - nodes[k]!.angle)),
      1,
    );
    residual -= weight * node.value;
    weights += weight ** 2;
    sensitivities += (weight * node.sensitivity) ** 2;
  }
  return { residual, weights, sensitivities };
}

/** Places on the rest of the line at which it is sampled, and how far it is carried beyond its ends, in shares of the quarter circle. */
const SAMPLES = 400;
const BEYOND = 0.03;

/**
 * The points that the audit says stand off, each with where the rest of its line puts it. Which points they are is the audit's word; this
 * only measures them.
 */
export function suspiciousPoints(context: AuditContext, scale: NoiseScale): SuspiciousPoint[] {
  return context.findings.flatMap((finding) => {
    const { place } = finding;
    if (finding.code !== 'point-stands-off' || place?.part !== 'speed-line' || place.point === undefined) return [];
    const line = context.lines[place.line];
    const point = line?.typed.find((p) => p.index === place.point);
    if (!line || !point) return [];
    return [measured(context, finding, line, point, { ...place, point: place.point }, scale)];
  });
}

function measured(
  context: AuditContext,
  finding: AuditFinding,
  line: AuditLine,
  point: AuditPoint,
  place: SuspiciousPoint['place'],
  scale: NoiseScale,
): SuspiciousPoint {
  const curve = restOf(line, scale);
  const { words } = context;
  const name = `Line ${words.speed(line.speedRpm)} at ${words.flow(point.flow)}, pressure ratio ${words.ratio(point.ratio)}`;
  const expected = curve && nearestOn(curve, point, scale);
  if (!expected)
    return { place, finding, expected: null, off: null, message: `${name}: stands off the rest of its line.` };
  const byFlow = point.flow - expected.flow;
  const byRatio = point.ratio - expected.ratio;
  const side = (by: number) => (by > 0 ? 'too high' : 'too low');
  const off = expected.flat ? ({ of: 'pressureRatio', by: byRatio } as const) : ({ of: 'flow', by: byFlow } as const);
  const what = expected.flat
    ? `the pressure ratio is ${words.ratio(Math.abs(byRatio))} ${side(byRatio)}: its line passes ${words.ratio(expected.ratio)} there`
    : `the flow is ${words.flow(Math.abs(byFlow))} ${side(byFlow)}: its line passes ${words.flow(expected.flow)} there`;
  return {
    place,
    finding,
    expected: { flow: expected.flow, pressureRatio: expected.ratio },
    off,
    message: `${name}: ${what}. Read it off the sheet again.`,
  };
}

interface CurvePlace {
  flow: number;
  ratio: number;
}

/** The line without the points that stand off, sampled in sheet units; null with fewer than four points. */
function restOf(line: AuditLine, scale: NoiseScale): CurvePlace[] | null {
  const nodes = lineNodes(line.ordered, scale).reverse();
  if (nodes.length < 4) return null;
  const { similarity } = scale;
  const from = Math.max(0.001, nodes[0]!.angle - BEYOND);
  const to = Math.min(0.999, nodes[nodes.length - 1]!.angle + BEYOND);
  return Array.from({ length: SAMPLES + 1 }, (_, i) => {
    const angle = from + ((to - from) * i) / SAMPLES;
    const size = Math.exp(valueAt(nodes, angle)) * similarity.topRpm;
    const turn = (angle * Math.PI) / 2;
    return {
      flow: (size * Math.cos(turn) * similarity.flowPerRpm) / scale.flowFactor,
      ratio: pressureRatioOf(size * Math.sin(turn) * similarity.rootHeadPerRpm),
    };
  });
}

/** Cubic through the four nearest nodes between them, straight beyond the ends. */
function valueAt(nodes: readonly { angle: number; value: number }[], angle: number): number {
  const last = nodes.length - 1;
  if (angle < nodes[0]!.angle || angle > nodes[last]!.angle) {
    const [a, b] = angle < nodes[0]!.angle ? [nodes[0]!, nodes[1]!] : [nodes[last]!, nodes[last - 1]!];
    const slope = a.angle === b.angle ? 0 : (b.value - a.value) / (b.angle - a.angle);
    return a.value + slope * (angle - a.angle);
  }
  let at = 0;
  while (at < last - 1 && nodes[at + 1]!.angle < angle) at++;
  const start = Math.min(Math.max(0, at - 1), nodes.length - 4);
  const four = nodes.slice(start, start + 4);
  return four.reduce((sum, node) => {
    const weight = four.reduce((w, other) => {
      if (other === node) return w;
      const apart = node.angle - other.angle;
      return Math.abs(apart) < 1e-9 ? w : (w * (angle - other.angle)) / apart;
    }, 1);
    return sum + weight * node.value;
  }, 0);
}

/** The place on the curve at the point's flow where it is flat beside the point, else at its pressure ratio. */
function nearestOn(
  curve: readonly CurvePlace[],
  point: AuditPoint,
  scale: NoiseScale,
): (CurvePlace & { flat: boolean }) | null {
  const away = (p: CurvePlace) =>
    Math.hypot((p.flow - point.flow) / scale.fullFlow, (p.ratio - point.ratio) / scale.fullRatio);
  let at = 0;
  curve.forEach((p, i) => {
    if (away(p) < away(curve[at]!)) at = i;
  });
  const [a, b] = [curve[Math.max(0, at - 1)]!, curve[Math.min(curve.length - 1, at + 1)]!];
  const flat = Math.abs(a.ratio - b.ratio) / scale.fullRatio <= Math.abs(a.flow - b.flow) / scale.fullFlow;
  const along = (of: (p: CurvePlace) => number, value: number): CurvePlace | null => {
    let best: CurvePlace | null = null;
    for (let i = 0; i + 1 < curve.length; i++) {
      const [p, q] = [curve[i]!, curve[i + 1]!];
      if ((of(p) - value) * (of(q) - value) > 0 || of(p) === of(q)) continue;
      const t = (value - of(p)) / (of(q) - of(p));
      const on = { flow: p.flow + t * (q.flow - p.flow), ratio: p.ratio + t * (q.ratio - p.ratio) };
      if (!best || away(on) < away(best)) best = on;
    }
    return best;
  };
  const on = flat ? along((p) => p.flow, point.flow) : along((p) => p.ratio, point.ratio);
  const found = on ?? curve[at]!;
  return Number.isFinite(found.flow) && Number.isFinite(found.ratio) ? { ...found, flat } : null;
}
