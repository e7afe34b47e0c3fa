import type { AuditFinding, SheetPlace } from '../../../compressor/index.ts';
import type { CellMark } from '../../../widgets/index.ts';

/** Columns of a table of points, from the left. */
export type PointKey = 'flow' | 'pressureRatio' | 'efficiency';

/** The column that a finding is about, told by its code; null: the whole row. */
export function keyOf(finding: { code: string; message?: string | undefined }): PointKey | 'speed' | null {
  if (finding.code === 'entry-left-out' || finding.code.startsWith('turbine-'))
    return keyInWords(finding.message ?? '');
  if (finding.code.startsWith('efficiency')) return 'efficiency';
  if (finding.code.startsWith('flow')) return 'flow';
  if (finding.code.startsWith('ratio')) return 'pressureRatio';
  if (finding.code.startsWith('speed')) return 'speed';
  return null;
}

/** A text that could not be read is named in its message. */
function keyInWords(message: string): PointKey | 'speed' | null {
  if (/: the efficiency /.test(message)) return 'efficiency';
  if (/: the flow /.test(message)) return 'flow';
  if (/: the (?:pressure|expansion) ratio /.test(message)) return 'pressureRatio';
  return / shaft speed /.test(message) ? 'speed' : null;
}

/** Marks on the cells of a table for the findings whose place lies in it. Notes mark nothing. */
export function cellMarks(
  findings: readonly AuditFinding[],
  keys: readonly string[],
  rowOf: (place: SheetPlace) => number | null,
): CellMark[] {
  return findings.flatMap((finding): CellMark[] => {
    if (finding.severity === 'note' || finding.place === undefined) return [];
    const row = rowOf(finding.place);
    if (row === null) return [];
    const column = keys.indexOf(keyOf(finding) ?? '');
    return [{ row, column: column < 0 ? null : column, severity: finding.severity, message: finding.message }];
  });
}
