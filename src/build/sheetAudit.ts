import { auditSheet, type SheetUnits } from '../compressor/index.ts';
import type { AuditFinding } from '../compressor/types.ts';
import { memory } from '../numerics/index.ts';
import { findUnit, type QuantityKey } from '../units/index.ts';
import { draftToSheet, fitDraft, inDraft, type MapFitter, mapFitter, withoutRepeats } from './compressorSheet.ts';
import type { MapDraft, Typed } from './document.ts';

const audits = memory<ReturnType<typeof fitDraft>, readonly AuditFinding[]>();

/** Units of a draft's fields, in which its audit speaks; K, kPa, mm for one that is not known. */
export function sheetUnits({ reference, wheel }: MapDraft): SheetUnits {
  const known = (quantity: QuantityKey, { unit }: Typed, usual: string) =>
    findUnit(quantity, unit) === null ? usual : unit;
  return {
    temperature: known('temperature', reference.temperature, 'K'),
    pressure: known('pressure-absolute', reference.pressure, 'kPa'),
    length: known('wheel-length', wheel.exducer, 'mm'),
  };
}

/**
 * All that is to be said of a map's tables, errors first: what was left out of them, why nothing could be fitted, and what is doubtful;
 * places count the draft's own rows. Apart from the fit, because only who works on a map needs it. Remembered with the fit.
 */
export function auditDraft(draft: MapDraft, fitter: MapFitter = mapFitter): readonly AuditFinding[] {
  const fit = fitDraft(draft, fitter);
  const units = sheetUnits(draft);
  return audits(fit, Object.values(units), () => {
    const reading = draftToSheet(draft);
    if (!reading.ok) return fit.problems;
    const audit = auditSheet(reading.sheet, units).map((finding) => inDraft(finding, reading.rows));
    // What the audit says of the same matter names the place better.
    const ofFit = fit.problems.filter((problem) => audit.every(({ code }) => code !== problem.code));
    return withoutRepeats([...ofFit, ...audit]);
  });
}
