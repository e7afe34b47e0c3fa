import type { Finding } from '../../../match/index.ts';
import type { Severity } from '../../shared/findingWords.ts';

export interface Verdict {
  severity: Severity;
  words: string;
}

/** Two or three words on a candidate, from its findings (worst first); null while there are none. */
export function verdict(findings: readonly Finding[]): Verdict | null {
  const worst = findings[0];
  if (worst === undefined) return null;
  const count = (severity: Severity) => findings.filter((finding) => finding.severity === severity).length;
  if (worst.severity === 'stop') return { severity: 'stop', words: counted(count('stop'), 'stop') };
  if (worst.severity === 'caution') return { severity: 'caution', words: counted(count('caution'), 'caution') };
  return { severity: 'good', words: 'within limits' };
}

function counted(number: number, word: string): string {
  return `${number} ${word}${number === 1 ? '' : 's'}`;
}
