import type { AuditFinding, CompressorSurface, MapSheet } from '../compressor/types.ts';
import { type Memory, memory } from '../numerics/index.ts';
import type { MapDraft } from './document.ts';
import { draftPlace } from './draftPlace.ts';
import { draftToSheet } from './draftToSheet.ts';
import { type MapFitter, mapFitter } from './mapFitter.ts';

/** All that is made of a map's tables. */
export interface DraftFit {
  /** null: the reference state cannot be read, or the tables are too big. */
  sheet: MapSheet | null;
  /** null: see the findings of severity 'error'. */
  surface: CompressorSurface | null;
  /** What was left out of the tables, why nothing could be fitted, and what is doubtful; places count the draft's own rows. */
  findings: readonly AuditFinding[];
}

const known = memory<MapFitter, Memory<MapDraft['speedLines'], DraftFit>>();

/**
 * Reads, audits and fits a map's tables. Remembered by the identity of the tables: the same tables are fitted once, whichever
 * build, candidate or name they stand under.
 */
export function fitDraft(draft: MapDraft, fitter: MapFitter = mapFitter): DraftFit {
  const { reference, flowUnit, efficiencyUnit, surgeLine, islands, limits, wheel, habits } = draft;
  const tables = [reference, flowUnit, efficiencyUnit, surgeLine, islands, limits, wheel, habits];
  return known(fitter, [], () => memory())(draft.speedLines, tables, () => fitTables(draft, fitter));
}

function fitTables(draft: MapDraft, fitter: MapFitter): DraftFit {
  const reading = draftToSheet(draft);
  if (!reading.ok) return { sheet: null, surface: null, findings: reading.problems };
  const inDraft = (finding: AuditFinding): AuditFinding =>
    finding.place === undefined ? finding : { ...finding, place: draftPlace(finding.place, reading.rows) };
  const fit = fitter.fit(reading.sheet);
  const audit = fitter.audit(reading.sheet);
  // What the audit says of the same matter names the place better.
  const unsaid = fit.ok ? [] : fit.problems.filter((problem) => audit.every(({ code }) => code !== problem.code));
  const found = [...unsaid, ...audit].map(inDraft);
  return {
    sheet: reading.sheet,
    surface: fit.ok ? fit.surface : null,
    findings: withoutRepeats([...reading.problems, ...found]),
  };
}

/** The fit and the audit may find the same fault; it is said once. Errors stand first. */
function withoutRepeats(findings: readonly AuditFinding[]): AuditFinding[] {
  const seen = new Set<string>();
  const once = findings.filter((finding) => {
    const key = JSON.stringify([finding.code, finding.message, finding.place]);
    return !seen.has(key) && seen.add(key);
  });
  const rank = { error: 0, warning: 1, note: 2 };
  return once.sort((a, b) => rank[a.severity] - rank[b.severity]);
}
