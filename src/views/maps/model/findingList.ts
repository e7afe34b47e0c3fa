import type { AuditFinding, SheetPlace } from '../../../compressor/index.ts';

/** Findings as they are listed: many of one kind stand as one with the number of the others. */
export interface ListedFinding {
  key: string;
  code: string;
  severity: AuditFinding['severity'];
  message: string;
  place: SheetPlace | undefined;
  /** Of the same kind, not listed unless asked for. */
  others: readonly AuditFinding[];
}

const MOST_ALIKE = 3;

/** Worst first, as given; from the fourth of one kind and severity on they are gathered behind the third. */
export function findingList(findings: readonly AuditFinding[]): ListedFinding[] {
  const listed: (ListedFinding & { others: AuditFinding[] })[] = [];
  const count = new Map<string, number>();
  for (const finding of findings) {
    const kind = `${finding.severity} ${finding.code}`;
    const n = (count.get(kind) ?? 0) + 1;
    count.set(kind, n);
    if (n > MOST_ALIKE) {
      listed.findLast((l) => l.key.startsWith(`${kind} `))?.others.push(finding);
      continue;
    }
    const { severity, code, message, place } = finding;
    listed.push({
      key: `${kind} ${JSON.stringify(place ?? null)} ${message}`,
      severity,
      code,
      message,
      place,
      others: [],
    });
  }
  return listed;
}

/** '2 errors, 1 warning, 3 notes'; 'Nothing doubtful found' for none. */
export function countWords(findings: readonly AuditFinding[]): string {
  const words = (['error', 'warning', 'note'] as const).flatMap((severity) => {
    const n = findings.filter((f) => f.severity === severity).length;
    return n === 0 ? [] : [`${n} ${severity}${n === 1 ? '' : 's'}`];
  });
  return words.length === 0 ? 'Nothing doubtful found' : words.join(', ');
}
