import { type AuditContext, auditContext, settleContext } from '../audit-context.ts';
import { findStrayPoints } from '../audit-points.ts';
import { flowFactor } from '../fit-surface.ts';
import { similarityScale } from '../speed-field.ts';
import type { MapSheet } from '../types.ts';
import { innerLines, type LeftOutErrors, leaveLineOut, shareOf } from './left-out-lines.ts';
import { lineNoise, type NoiseScale } from './line-noise.ts';
import { mapHash } from './map-hash.ts';
import type { LineNoise, QualityCard, QualityProgress, Requirement } from './quality-types.ts';
import { suspiciousPoints } from './suspicious-points.ts';

/** SAE J1826-2022 as summarised by tnlab.org: at least 8 speed lines. The standard's own text was not seen. */
const LEAST_LINES = 8;

/**
 * How good the reading of a sheet is: what it has against what a test is asked for, the noise of its points, the error of the fitted
 * surface where a line is left out, and the points that stand off.
 * Some ten milliseconds a line; `qualityCardSteps` does the same in steps.
 */
export function qualityCard(sheet: MapSheet): QualityCard {
  const steps = qualityCardSteps(sheet);
  for (;;) {
    const step = steps.next();
    if (step.done) return step.value;
  }
}

/** As qualityCard, giving back control after each refit with how far it has come. */
export function* qualityCardSteps(sheet: MapSheet): Generator<QualityProgress, QualityCard, void> {
  const context = settledContext(sheet);
  const scale = noiseScale(context, sheet);
  const inner = innerLines(sheet);
  const leftOut: LeftOutErrors[] = [];
  yield { done: 0, total: inner.length };
  for (const [i, line] of inner.entries()) {
    const errors = leaveLineOut(sheet, line);
    if (errors) leftOut.push(errors);
    yield { done: i + 1, total: inner.length };
  }
  const points = sheet.speedLines.flatMap((line) => line.points);
  return {
    lines: context.lines.filter((line) => line.typed.length >= 2).length,
    points: points.length,
    pointsWithEfficiency: points.filter((p) => p.efficiency !== undefined && Number.isFinite(p.efficiency)).length,
    islands: sheet.islands?.length ?? 0,
    requirements: requirements(context),
    noise: noiseOf(context, scale),
    leftOut: {
      lines: leftOut.map((errors) => errors.line),
      speedMedian: shareOf(
        leftOut.flatMap((e) => e.speed),
        0.5,
      ),
      speed95: shareOf(
        leftOut.flatMap((e) => e.speed),
        0.95,
      ),
      efficiencyMedian: shareOf(
        leftOut.flatMap((e) => e.efficiency),
        0.5,
      ),
      efficiency95: shareOf(
        leftOut.flatMap((e) => e.efficiency),
        0.95,
      ),
    },
    suspicious: scale ? suspiciousPoints(context, scale) : [],
    hash: mapHash(sheet),
  };
}

/** Reading noise alone, without the refits: a millisecond, so that it may follow every keystroke. */
export function readingNoise(sheet: MapSheet): QualityCard['noise'] {
  const context = settledContext(sheet);
  return noiseOf(context, noiseScale(context, sheet));
}

function settledContext(sheet: MapSheet): AuditContext {
  const context = auditContext(sheet);
  settleContext(context, findStrayPoints(context));
  return context;
}

function noiseOf(context: AuditContext, scale: NoiseScale | null): QualityCard['noise'] {
  const lines = scale ? context.lines.flatMap((line) => (line.speedRpm > 0 ? lineNoise(line, scale) : [])) : [];
  return { lines, ...pooled(lines) };
}

function requirements(context: AuditContext): Requirement[] {
  const usable = context.lines.filter((line) => line.typed.length >= 2);
  const fewest = usable.length === 0 ? 0 : Math.min(...usable.map((line) => line.typed.length));
  return [
    {
      code: 'speed-lines',
      atLeast: LEAST_LINES,
      has: usable.length,
      met: usable.length >= LEAST_LINES,
      source:
        'SAE J1826 (2022) asks for at least 8 speed lines, as summarised by a test laboratory; the standard itself was not seen.',
    },
    {
      code: 'points-per-line',
      atLeast: null,
      has: fewest,
      met: null,
      source:
        'What SAE J1826 asks for on each line was not seen. Six or more, closest where the line bends, are good practice.',
    },
  ];
}

/** Full scale and similarity scale of the points that do not stand off; null without any. */
function noiseScale(context: AuditContext, sheet: MapSheet): NoiseScale | null {
  const factor = flowFactor(sheet.flowUnit, sheet.reference);
  const points = context.rising.flatMap((line) =>
    line.ordered
      .filter((p) => p.ratio > 1)
      .map((p) => ({
        line: line.index,
        speedRpm: line.speedRpm,
        flowKgPerS: p.flow * factor,
        pressureRatio: p.ratio,
        efficiency: null,
      })),
  );
  if (points.length === 0 || !(factor > 0) || !Number.isFinite(factor)) return null;
  return {
    similarity: similarityScale(points),
    flowFactor: factor,
    fullFlow: Math.max(...points.map((p) => p.flowKgPerS)) / factor,
    fullRatio: Math.max(...points.map((p) => p.pressureRatio)),
  };
}

/** Root mean square over the lines, each with the weight of its points. */
function pooled(lines: readonly LineNoise[]): { speedShare: number | null; fullScaleShare: number | null } {
  const over = (of: (line: LineNoise) => number | null) => {
    const known = lines.flatMap((line) => {
      const value = of(line);
      return value === null ? [] : [{ value, points: line.points }];
    });
    const points = known.reduce((sum, line) => sum + line.points, 0);
    return points === 0
      ? null
      : Math.sqrt(known.reduce((sum, line) => sum + line.points * line.value ** 2, 0) / points);
  };
  return { speedShare: over((line) => line.speedShare), fullScaleShare: over((line) => line.fullScaleShare) };
}
