import { auditSheet, tryFitSurface } from '../compressor/index.ts';
import type { AuditFinding, FitResult, MapSheet } from '../compressor/types.ts';

/** What turns a sheet into a surface and says what is doubtful with it; tests may hand in another. */
export interface MapFitter {
  fit(sheet: MapSheet): FitResult;
  audit(sheet: MapSheet): readonly AuditFinding[];
}

export const mapFitter: MapFitter = { fit: tryFitSurface, audit: auditSheet };
