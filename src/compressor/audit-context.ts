import { type AuditWords, auditWords } from './audit-words.ts';
import type { AuditFinding, MapSheet } from './types.ts';

/** A point that can be computed with, and where it stands on the sheet. */
export interface AuditPoint {
  /** Index in the sheet's line. */
  index: number;
  flow: number;
  ratio: number;
  efficiency: number | null;
}

/** A speed line with what of it can be computed with. */
export interface AuditLine {
  /** Index in sheet.speedLines. */
  index: number;
  speedRpm: number;
  /** As typed. */
  typed: readonly AuditPoint[];
  /** From the surge end to the choke end, points that stand off left out. */
  ordered: readonly AuditPoint[];
}

/** What all parts of the audit share: lines put in order once, scales, words, and the list they add to. */
export interface AuditContext {
  sheet: MapSheet;
  words: AuditWords;
  lines: AuditLine[];
  /** Lines with a usable speed and at least two points, in rising speed. */
  rising: readonly AuditLine[];
  /** Largest flow and pressure ratio of the sheet, for distances as shares of the map. */
  scale: { flow: number; ratio: number };
  findings: AuditFinding[];
}

const positive = (value: number): boolean => Number.isFinite(value) && value > 0;

/**
 * Order along a line from surge to choke. Neither flow nor pressure ratio alone orders a line (flat near surge, near-vertical near
 * choke); their normalised difference does, whatever the order in which the points were typed.
 */
export function orderAlong(points: readonly AuditPoint[]): AuditPoint[] {
  const key = alongKey(points);
  return [...points].sort((a, b) => key(a) - key(b));
}

/** The ordering abscissa of orderAlong: flow share minus pressure-ratio share of the given points' own ranges. */
export function alongKey(points: readonly AuditPoint[]): (point: AuditPoint) => number {
  let flowLow = Infinity;
  let flowHigh = -Infinity;
  let ratioLow = Infinity;
  let ratioHigh = -Infinity;
  for (const p of points) {
    flowLow = Math.min(flowLow, p.flow);
    flowHigh = Math.max(flowHigh, p.flow);
    ratioLow = Math.min(ratioLow, p.ratio);
    ratioHigh = Math.max(ratioHigh, p.ratio);
  }
  const flowSpan = Math.max(flowHigh - flowLow, 1e-9 * Math.abs(flowHigh), Number.MIN_VALUE);
  const ratioSpan = Math.max(ratioHigh - ratioLow, 1e-9 * Math.abs(ratioHigh), Number.MIN_VALUE);
  return (p) => (p.flow - flowLow) / flowSpan - (p.ratio - ratioLow) / ratioSpan;
}

/** Lines with the points that are numbers, not yet cleared of those that stand off. */
export function auditContext(sheet: MapSheet): AuditContext {
  const lines = sheet.speedLines.map((line, index): AuditLine => {
    const typed: AuditPoint[] = [];
    line.points.forEach((p, i) => {
      if (!positive(p.flow) || !positive(p.pressureRatio)) return;
      const efficiency = p.efficiency !== undefined && Number.isFinite(p.efficiency) ? p.efficiency : null;
      typed.push({ index: i, flow: p.flow, ratio: p.pressureRatio, efficiency });
    });
    return { index, speedRpm: line.speedRpm, typed, ordered: orderAlong(typed) };
  });
  return { sheet, words: auditWords(sheet), lines, rising: [], scale: { flow: 1, ratio: 1 }, findings: [] };
}

/** Takes the points that stand off out of the lines, then fixes order and scale for everything geometric that follows. */
export function settleContext(context: AuditContext, standingOff: readonly ReadonlySet<number>[]): void {
  context.lines = context.lines.map((line, i) => {
    const off = standingOff[i];
    if (!off || off.size === 0) return line;
    return { ...line, ordered: orderAlong(line.typed.filter((p) => !off.has(p.index))) };
  });
  context.rising = context.lines
    .filter((line) => positive(line.speedRpm) && line.ordered.length >= 2)
    .sort((a, b) => a.speedRpm - b.speedRpm);
  const scale = { flow: 0, ratio: 0 };
  for (const line of context.lines) {
    for (const p of line.ordered) {
      scale.flow = Math.max(scale.flow, p.flow);
      scale.ratio = Math.max(scale.ratio, p.ratio - 1);
    }
  }
  context.scale = { flow: scale.flow > 0 ? scale.flow : 1, ratio: scale.ratio > 0.01 ? scale.ratio : 1 };
}
