import type { Finding, OperatingPoint, OperatingPointSolved } from '../../match/index.ts';
import { marginSize, type ResultUnits, showResult } from '../../match/index.ts';
import type { CandidateResults } from '../../store/index.ts';
import { formatNumber, NO_BREAK_SPACE, NO_NUMBER } from '../../units/index.ts';
import type { FindingWords, Severity } from './findingWords.ts';
import { candidateLetter, isEstimated } from './provenance.ts';

/** One candidate at a glance. */
export interface CandidateSummary {
  index: number;
  /** 'A', 'B', ... */
  letter: string;
  name: string;
  candidateId: string;
  /** Computed on a donor's map, scaled. */
  isEstimated: boolean;
  /** null while nothing can be said. */
  verdict: Verdict | null;
  numbers: readonly HeadlineNumber[];
  /** Why there are no numbers; null where there are. */
  missing: string | null;
}

export function candidateSummary(results: CandidateResults, index: number, units: ResultUnits): CandidateSummary {
  const { candidate, problems, points, findings } = results;
  return {
    index,
    letter: candidateLetter(index),
    name: candidate.name.trim() === '' ? 'Candidate without a name' : candidate.name,
    candidateId: candidate.id,
    isEstimated: isEstimated(candidate),
    verdict: verdict(findings),
    numbers: headline(points, units),
    missing: results.input === null ? missingWords(results, problems.length) : null,
  };
}

/** The first thing that stands in the way, and how many more there are. */
function missingWords({ candidate, surface, problems }: CandidateResults, count: number): string {
  const [first] = problems;
  if (isEstimated(candidate)) return first?.message ?? 'Nothing to compute yet.';
  if (candidate.map === null) return 'No map yet: choose one, enter one, or borrow a donor map on its card.';
  if (surface === null)
    return `The map “${candidate.map.name}” cannot be used yet: the Maps view says what is missing.`;
  if (first === undefined) return 'Nothing to compute yet.';
  return count === 1 ? first.message : `${first.message} (and ${count - 1} more)`;
}

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

/** One headline number of a candidate: what, how much, and at which engine speed or with which margin. */
export interface HeadlineNumber {
  key: 'power' | 'torque' | 'shaft-speed' | 'surge-margin';
  title: string;
  /** The same where room is short. */
  shortTitle: string;
  value: string;
  /** 'at 6,400 rpm'; '' where there is no point. */
  detail: string;
  /** Engine speed that the number belongs to. */
  engineSpeedRpm: number | null;
}

/**
 * The numbers that a customer asks for first. Power at the wheels, torque at the crankshaft, the highest shaft speed with its margin, the
 * least surge margin; '–' where the line has no point that knows it.
 */
export function headline(points: readonly OperatingPoint[], units: ResultUnits): readonly HeadlineNumber[] {
  const solved = points.filter((point): point is OperatingPointSolved => point.status === 'ok');
  const power = largest(solved, (point) => point.wheelPowerW);
  const torque = largest(solved, (point) => point.torqueNm);
  const speed = largest(solved, (point) => point.shaftSpeedRpm);
  const surge = largest(solved, (point) => (point.surgeMargin === null ? null : -point.surgeMargin));
  return [
    number('power', ['Peak wheel power', 'Wheel power'], power, showResult(power?.wheelPowerW, 'power', units)),
    number('torque', ['Peak torque', 'Torque'], torque, showResult(torque?.torqueNm, 'torque', units)),
    {
      ...number(
        'shaft-speed',
        ['Top shaft speed', 'Shaft speed'],
        speed,
        showResult(speed?.shaftSpeedRpm, 'shaft-speed', units),
      ),
      ...(speed === null ? {} : { detail: marginWords(speed) }),
    },
    number(
      'surge-margin',
      ['Least surge margin', 'Surge margin'],
      surge,
      showResult(surge?.surgeMargin, 'margin', units),
    ),
  ];
}

function marginWords(point: OperatingPointSolved): string {
  if (point.speedMargin === null) return 'no limit entered';
  const share = marginSize(point.speedMargin);
  return point.speedMargin >= 0 ? `${share} to limit` : `${share} over limit`;
}

function number(
  key: HeadlineNumber['key'],
  [title, shortTitle]: readonly [string, string],
  point: OperatingPointSolved | null,
  value: string,
): HeadlineNumber {
  const detail =
    point === null || value === NO_NUMBER ? '' : `at ${formatNumber(point.engineSpeedRpm, 0)}${NO_BREAK_SPACE}rpm`;
  return { key, title, shortTitle, value, detail, engineSpeedRpm: point?.engineSpeedRpm ?? null };
}

/** The point with the largest value; points whose value is null do not count. */
function largest(
  points: readonly OperatingPointSolved[],
  value: (point: OperatingPointSolved) => number | null,
): OperatingPointSolved | null {
  let best: OperatingPointSolved | null = null;
  let bestValue = Number.NEGATIVE_INFINITY;
  for (const point of points) {
    const candidate = value(point);
    if (candidate !== null && candidate > bestValue) {
      best = point;
      bestValue = candidate;
    }
  }
  return best;
}

/** Entries that stand in the way, listed like findings: nothing can be computed before they are mended. */
export function problemWords(problems: CandidateResults['problems']): FindingWords[] {
  return problems.map(({ path, message }, index) => ({
    id: `problem-${path}-${index}`,
    severity: 'stop',
    word: 'Missing',
    sentence: message,
    engineSpeedRpm: null,
  }));
}
