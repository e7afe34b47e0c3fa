import { auditSheet } from '../audit.ts';
import type { AuditFinding, MapSheet } from '../types.ts';

/** Whether the audit no longer says this about this place of the sheet. */
export function isGone(finding: AuditFinding, sheet: MapSheet): boolean {
  const place = JSON.stringify(finding.place ?? null);
  return !auditSheet(sheet).some((f) => f.code === finding.code && JSON.stringify(f.place ?? null) === place);
}

/** Whether the audit says nothing of this kind about the sheet any more. */
export function isKindGone(finding: AuditFinding, sheet: MapSheet): boolean {
  return !auditSheet(sheet).some((f) => f.code === finding.code);
}
