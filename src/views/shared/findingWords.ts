import type { Finding, ResultUnits } from '../../match/index.ts';
import { formatNumber, NO_BREAK_SPACE } from '../../units/index.ts';
import { FINDING_SENTENCES } from './findingSentences.ts';
import type { FindingSentence } from './turbineSentences.ts';

export type Severity = Finding['severity'];

/** A finding in plain words. */
export interface FindingWords {
  /** The same finding keeps its id while its numbers change. */
  id: string;
  severity: Severity;
  /** 'Stop', 'Caution', 'Note', 'Good'. */
  word: string;
  sentence: string;
  /** Where it is worst; null where it belongs to no engine speed. */
  engineSpeedRpm: number | null;
}

const WORDS: Readonly<Record<Severity, string>> = { stop: 'Stop', caution: 'Caution', note: 'Note', good: 'Good' };

/** Findings on one turbo; of several each does so. */
const OF_ONE_TURBO: ReadonlySet<string> = new Set([
  'overspeed',
  'speed-reserve',
  'no-speed-limit',
  'left-of-surge',
  'surge-margin',
  'edge-guessed',
  'choked',
  'choke-margin',
  'map-extended-above',
  'map-extended-below',
  'map-extended',
  'turbine-choked',
  'peak-shaft-speed',
]);

/** Whether a finding's numbers are those of one of several turbos. */
export function isPerTurbo(code: string, turboCount = 1): boolean {
  return turboCount > 1 && OF_ONE_TURBO.has(code);
}

/**
 * Puts findings in words and in the user's units, keeping their order (worst first). A code may come in several runs of engine speeds.
 * @param turboCount of the candidate that they are of
 */
export function findingWords(findings: readonly Finding[], units: ResultUnits, turboCount = 1): FindingWords[] {
  const runs = new Map<string, number>();
  return findings.map((finding) => {
    const run = (runs.get(finding.code) ?? 0) + 1;
    runs.set(finding.code, run);
    return {
      id: `${finding.code}-${run}`,
      severity: finding.severity,
      word: WORDS[finding.severity],
      sentence: sentenceOf(finding, units, turboCount),
      engineSpeedRpm: finding.engineSpeedRpm ?? null,
    };
  });
}

/** One finding as a sentence. A code that has none is a slip in the program: the code itself is shown rather than nothing. */
export function sentenceOf(finding: Finding, units: ResultUnits, turboCount = 1): string {
  const row: FindingSentence | undefined = FINDING_SENTENCES[finding.code];
  if (row === undefined) return `${finding.code}.`;
  const perTurbo = isPerTurbo(finding.code, turboCount);
  const at = finding.engineSpeedRpm === undefined ? '' : `${perTurbo ? 'at' : 'At'} ${rpm(finding.engineSpeedRpm)} `;
  const sentence = row.say(finding.values, units, { at, range: rangeWords(finding.rangeRpm) });
  const extent = row.extent === undefined ? '' : extentWords(row.extent, finding.rangeRpm);
  return `${perTurbo ? `Per turbo: ${sentence}` : capital(sentence)}${extent}`;
}

/** ' Over its limit from 6,000 to 6,800 rpm.'; '' where it holds at one engine speed only. */
function extentWords(what: string, range: Finding['rangeRpm']): string {
  if (range === undefined || range[0] === range[1]) return '';
  return ` ${what} ${rangeWords(range)}.`;
}

/** 'from 6,000 to 6,800 rpm', 'at 6,400 rpm'; '' where it has no range. */
export function rangeWords(range: Finding['rangeRpm']): string {
  if (range === undefined) return '';
  const [first, last] = range;
  return first === last ? `at ${rpm(first)}` : `from ${formatNumber(first, 0)} to ${rpm(last)}`;
}

function rpm(engineSpeedRpm: number): string {
  return `${formatNumber(engineSpeedRpm, 0)}${NO_BREAK_SPACE}rpm`;
}

function capital(sentence: string): string {
  return sentence.charAt(0).toUpperCase() + sentence.slice(1);
}
