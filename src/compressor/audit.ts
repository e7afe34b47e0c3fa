import { type AuditContext, auditContext, auditDuplicates, type SheetUnits, settleContext } from './audit-context.ts';
import { auditIslands } from './audit-islands.ts';
import { auditLines, auditSpeeds, auditSurgeLine } from './audit-lines.ts';
import { auditValues, findStrayPoints } from './audit-points.ts';
import { auditFlowUnit, auditLimits, auditReference } from './audit-reference.ts';
import type { AuditFinding, MapSheet } from './types.ts';

/**
 * What is wrong or doubtful with a sheet as entered, in plain words, each with its place on the sheet.
 * @param sheet in its own units; any numbers, also NaN.
 * @param units in which reference state and wheel are spoken of; left out: K, kPa, mm.
 * @returns findings, worst first and then in the order of the sheet; empty when there is nothing to say. Never throws.
 */
export function auditSheet(sheet: MapSheet, units?: SheetUnits): AuditFinding[] {
  const context = auditContext(sheet, units);
  const standingOff = findStrayPoints(context);
  settleContext(context, standingOff);
  const referred = auditReference(context);
  auditValues(context, standingOff);
  auditSpeeds(context);
  auditDuplicates(context);
  auditLines(context);
  auditSurgeLine(context);
  auditIslands(context);
  const usable = { reference: referred, speeds: !context.findings.some((f) => f.code === 'speed-unit') };
  auditLimits(context, usable);
  if (usable.reference && usable.speeds) auditFlowUnit(context);
  const rank = { error: 0, warning: 1, note: 2 } as const;
  return context.findings
    .map((finding, i) => ({ finding, i }))
    .sort((a, b) => rank[a.finding.severity] - rank[b.finding.severity] || a.i - b.i)
    .map(({ finding }) => finding);
}

/** The sheet as the audit measures it: every line in order, points that stand off left out; findings empty. Any numbers, also NaN. */
export function settledContext(sheet: MapSheet): AuditContext {
  const context = auditContext(sheet);
  settleContext(context, findStrayPoints(context));
  return context;
}
