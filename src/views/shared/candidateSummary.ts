import {
  extremeOf,
  type Finding,
  judging,
  LINE_RESULTS,
  type LineResultKey,
  lineTitle,
  marginSize,
  type OperatingPoint,
  type OperatingPointSolved,
  type ResultUnits,
  showResult,
} from '../../match/index.ts';
import type { CandidateResults } from '../../store/index.ts';
import { counted } from '../../units/index.ts';
import { candidateLetter, isEstimated } from './display.ts';
import type { Severity } from './findingSentences.ts';

/** One candidate at a glance. */
interface CandidateSummary {
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
export function verdict(all: readonly Finding[]): Verdict | null {
  const findings = judging(all);
  const worst = findings[0];
  if (worst === undefined) return null;
  const count = (severity: Severity) => findings.filter((finding) => finding.severity === severity).length;
  if (worst.severity === 'stop') return { severity: 'stop', words: counted(count('stop'), 'stop') };
  if (worst.severity === 'caution') return { severity: 'caution', words: counted(count('caution'), 'caution') };
  return { severity: 'good', words: 'within limits' };
}

const HEADLINE = [
  'peak-wheel-power',
  'peak-torque',
  'top-shaft-speed',
  'surge-margin',
] as const satisfies LineResultKey[];

/** One headline number of a candidate: what, how much, and at which engine speed or with which margin. */
export interface HeadlineNumber {
  key: (typeof HEADLINE)[number];
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
  const solved = points.filter((point) => point.status === 'ok');
  return HEADLINE.map((key): HeadlineNumber => {
    const { shown, of, take } = LINE_RESULTS[key];
    const found = of === undefined || take === undefined ? null : extremeOf(solved, of, take);
    const engineSpeedRpm = found?.point.engineSpeedRpm ?? null;
    const at = engineSpeedRpm === null ? '' : `at ${showResult(engineSpeedRpm, 'engine-speed', units)}`;
    const detail = key === 'top-shaft-speed' && found !== null ? marginDetail(found.point) : at;
    return {
      key,
      title: lineTitle(key, units),
      shortTitle: lineTitle(key, units, 'short'),
      value: showResult(found?.value, shown, units),
      detail,
      engineSpeedRpm,
    };
  });
}

function marginDetail({ speedMargin }: OperatingPointSolved): string {
  if (speedMargin === null) return 'no limit entered';
  return `${marginSize(speedMargin)} ${speedMargin >= 0 ? 'to' : 'over'} limit`;
}
