import {
  type AuditContext,
  type AuditFinding,
  type MapSheet,
  type SheetPlace,
  settledContext,
  similarityScale,
  tryFitSurface,
} from '../compressor/index.ts';
import { sheetFlowFactor } from '../units/index.ts';
import { mapHash } from './map-hash.ts';
import { lineNoise, type NoiseScale, suspiciousPoints } from './reading-scatter.ts';

/** One line of the card: what is asked, what the sheet has, and who asks. */
interface Requirement {
  code: 'speed-lines' | 'points-per-line';
  /** null: not known, and said so. */
  atLeast: number | null;
  /** speed-lines: number of lines; points-per-line: fewest points on any line. */
  has: number;
  met: boolean | null;
  /** Where the figure is from, in plain words. */
  source: string;
}

/** Reading noise of one speed line. */
export interface LineNoise {
  /** Index in sheet.speedLines. */
  line: number;
  speedRpm: number;
  points: number;
  /** Standard deviation of a point off a smooth line, as a share of speed; null with fewer than five usable points. */
  speedShare: number | null;
  /** The same as a share of full scale (largest flow, largest pressure ratio), were both read equally well in that measure. */
  fullScaleShare: number | null;
}

interface LeftOutLine {
  line: number;
  /** Median and largest error of the fitted surface at this line's points with the line left out; shares of speed. */
  speedMedian: number;
  speedLargest: number;
  /** Points at which the surface without the line gave no answer. */
  unanswered: number;
}

export interface SuspiciousPoint {
  place: SheetPlace & { part: 'speed-line'; point: number };
  /** The finding of the audit that names it. */
  finding: AuditFinding;
  /** Where the rest of its line puts it: sheet units. null where no smooth line can be drawn without it. */
  expected: { flow: number; pressureRatio: number } | null;
  /** Which of the two is off (the smooth line is flat: pressure ratio; steep: flow), signed, entered minus expected, in sheet units. */
  off: { of: 'flow' | 'pressureRatio'; by: number } | null;
  message: string;
}

export interface QualityCard {
  lines: number;
  points: number;
  pointsWithEfficiency: number;
  islands: number;
  requirements: readonly Requirement[];
  noise: {
    lines: readonly LineNoise[];
    /** Over all lines, as LineNoise; null where no line can be judged. */
    speedShare: number | null;
    fullScaleShare: number | null;
  };
  leftOut: {
    lines: readonly LeftOutLine[];
    /** Over all points of all inner lines; null with fewer than four lines or no fit. */
    speedMedian: number | null;
    speed95: number | null;
    efficiencyMedian: number | null;
    efficiency95: number | null;
  };
  suspicious: readonly SuspiciousPoint[];
  /** mapHash of the sheet that was judged. */
  hash: string;
}

/** How far the judging has come: `done` of `total` refits. */
export interface QualityProgress {
  done: number;
  total: number;
}

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
  const speed = leftOut.flatMap((errors) => errors.speed);
  const efficiency = leftOut.flatMap((errors) => errors.efficiency);
  return {
    lines: context.lines.filter((line) => line.typed.length >= 2).length,
    points: points.length,
    pointsWithEfficiency: points.filter((p) => p.efficiency !== undefined && Number.isFinite(p.efficiency)).length,
    islands: sheet.islands?.length ?? 0,
    requirements: requirements(context),
    noise: noiseOf(context, scale),
    leftOut: {
      lines: leftOut.map((errors) => errors.line),
      speedMedian: quantile(speed, 0.5),
      speed95: quantile(speed, 0.95),
      efficiencyMedian: quantile(efficiency, 0.5),
      efficiency95: quantile(efficiency, 0.95),
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

function noiseOf(context: AuditContext, scale: NoiseScale | null): QualityCard['noise'] {
  const lines = scale ? context.lines.flatMap((line) => (line.speedRpm > 0 ? lineNoise(line, scale) : [])) : [];
  return {
    lines,
    speedShare: pooled(lines, (line) => line.speedShare),
    fullScaleShare: pooled(lines, (line) => line.fullScaleShare),
  };
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
  const factor = sheetFlowFactor(sheet.flowUnit, sheet.reference);
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

/** Root mean square over the lines, each with the weight of its points; null where no line can be judged. */
function pooled(lines: readonly LineNoise[], of: (line: LineNoise) => number | null): number | null {
  let points = 0;
  let squares = 0;
  for (const line of lines) {
    const value = of(line);
    if (value === null) continue;
    points += line.points;
    squares += line.points * value ** 2;
  }
  return points === 0 ? null : Math.sqrt(squares / points);
}

/** Indices of the lines that can be left out: all but those at the lowest and the highest speed, which nothing would bracket. */
function innerLines(sheet: MapSheet): number[] {
  const usable = sheet.speedLines
    .map((line, index) => ({ index, speedRpm: line.speedRpm, points: line.points.length }))
    .filter((line) => line.speedRpm > 0 && Number.isFinite(line.speedRpm) && line.points >= 2)
    .sort((a, b) => a.speedRpm - b.speedRpm);
  const [low, high] = [usable[0]?.speedRpm, usable.at(-1)?.speedRpm];
  if (new Set(usable.map((line) => line.speedRpm)).size < 4) return [];
  return usable.filter((line) => line.speedRpm !== low && line.speedRpm !== high).map((line) => line.index);
}

/** Errors of a surface at the points of a line that it has not seen. */
interface LeftOutErrors {
  line: LeftOutLine;
  /** Each point's, shares of speed and of efficiency. */
  speed: number[];
  efficiency: number[];
}

/**
 * Fit the sheet without one line and ask the surface for that line's own points: an error between lines wider apart than the sheet's, so
 * rather more than that of the surface itself.
 * @returns null where the rest cannot be fitted.
 */
function leaveLineOut(sheet: MapSheet, index: number): LeftOutErrors | null {
  const left = sheet.speedLines[index]!;
  // A second line at the same speed is the same line typed in two parts.
  const rest = { ...sheet, speedLines: sheet.speedLines.filter((line) => line.speedRpm !== left.speedRpm) };
  const fit = tryFitSurface(rest);
  if (!fit.ok) return null;
  const factor = sheetFlowFactor(sheet.flowUnit, sheet.reference);
  const speed: number[] = [];
  const efficiency: number[] = [];
  let unanswered = 0;
  for (const point of left.points) {
    const at = fit.surface.at(point.flow * factor, point.pressureRatio);
    if (at.correctedSpeedRpm === null) {
      unanswered++;
      continue;
    }
    speed.push(Math.abs(at.correctedSpeedRpm / left.speedRpm - 1));
    if (at.efficiency !== null && point.efficiency !== undefined && Number.isFinite(point.efficiency)) {
      efficiency.push(Math.abs(at.efficiency - point.efficiency));
    }
  }
  if (speed.length === 0) return null;
  return {
    line: {
      line: index,
      speedMedian: quantile(speed, 0.5) ?? 0,
      speedLargest: Math.max(...speed),
      unanswered,
    },
    speed,
    efficiency,
  };
}

/** The value below which a share of the values lies; null for none. */
function quantile(values: readonly number[], share: number): number | null {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.round(share * (sorted.length - 1))] ?? null;
}
