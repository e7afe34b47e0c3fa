import type { AuditLine, AuditPoint } from '../audit-context.ts';
import { LEAST_PRESSURE_RATIO } from '../fit-surface.ts';
import { rootHeadSensitivity, type SimilarityScale, toPolar } from '../speed-field.ts';
import type { LineNoise } from './quality-types.ts';

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
export function lineNodes(points: readonly AuditPoint[], scale: NoiseScale): Node[] {
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
    const before = nearest(nodes, i, -1, apart);
    const after = nearest(nodes, i, 1, apart);
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
function nearest(nodes: readonly Node[], i: number, step: 1 | -1, apart: number): number[] {
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
