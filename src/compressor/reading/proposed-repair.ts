import type { AuditFinding, MapSheet } from '../types.ts';
import type { ProposedRepair } from './quality-types.ts';
import { isGone } from './repair-check.ts';
import { repairIslandsSwapped, repairOpenOrClosed } from './repair-islands.ts';
import { repairSpeedOrder, repairSpeedSlip, repairSpeedTwice, repairSpeedUnit } from './repair-speeds.ts';
import {
  repairFlowUnit,
  repairOrder,
  repairPercent,
  repairPointTwice,
  repairReferencePressure,
  repairReferenceTemperature,
  repairSurgeOrder,
  repairWheel,
} from './repair-values.ts';

type Repairer = (finding: AuditFinding, sheet: MapSheet) => ProposedRepair | null;

const REPAIRERS: Readonly<Record<string, Repairer>> = {
  'efficiency-in-percent': repairPercent,
  'flow-unit-doubtful': repairFlowUnit,
  'point-twice': repairPointTwice,
  'points-unordered': repairOrder,
  'surge-line-not-rising': repairSurgeOrder,
  'speed-doubtful': repairSpeedSlip,
  'speed-out-of-order': repairSpeedOrder,
  'speed-twice': repairSpeedTwice,
  'speed-unit': repairSpeedUnit,
  'island-probably-open': repairOpenOrClosed,
  'island-probably-closed': repairOpenOrClosed,
  'islands-swapped': repairIslandsSwapped,
  'reference-temperature': repairReferenceTemperature,
  'reference-pressure': repairReferencePressure,
  'wheel-swapped': repairWheel,
};

/**
 * A repair for a finding of the audit, where one is clear. It is tried before it is offered: with it the audit no longer says the same.
 * @param finding of auditSheet for this very sheet: its place counts the sheet's lines and points.
 * @returns null where only the sheet itself can say what is right.
 */
export function proposedRepair(finding: AuditFinding, sheet: MapSheet): ProposedRepair | null {
  const repair = REPAIRERS[finding.code]?.(finding, sheet) ?? null;
  return repair && isGone(finding, repair.apply(sheet)) ? repair : null;
}
