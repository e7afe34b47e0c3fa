import { HIGHEST_CODES } from '../limits.ts';
import type { ResultKey } from '../results.ts';
import { extremeOf } from '../results.ts';
import type { Finding, MatchInput, OperatingPoint } from '../types.ts';
import { boostThreshold } from './boost-threshold.ts';
import { finding } from './finding.ts';
import { limitFindings, mapFindings } from './limit-findings.ts';
import { estimateFindings, fuelFindings, noteFindings } from './note-findings.ts';
import { turbineFindings, wastegateShareAtPeak } from './turbine-findings.ts';

const SEVERITY_ORDER: readonly Finding['severity'][] = ['stop', 'caution', 'good', 'note'];

/** A caution on what is no more than a guess: it clouds nothing, and no verdict starts from it. */
const GUESSED = 'edge-guessed';

/** What a match is judged by: its findings without what rests on a guess about the map. */
export function judging(findings: readonly Finding[]): readonly Finding[] {
  return findings.filter(({ code }) => code !== GUESSED);
}

/** What breaks the turbo or the engine first stands first; codes not named keep the order in which they were found. */
const CODE_ORDER: readonly string[] = [
  'overspeed',
  'no-point-bad-input',
  'no-point-no-efficiency',
  'no-point-above-map',
  'no-point-right-of-map',
  'no-point-left-of-map',
  'left-of-surge',
  'choked',
  'no-point-inlet-exhausted',
  'no-point-exhaust-blocked',
  'no-point-gate-too-small',
  'gate-creep',
  'no-point-turbine-too-weak',
  'no-point-unreachable-goal',
  'no-point-not-converged',
  'injector-pressure',
  'injector-duty',
  'pump-flow',
  ...HIGHEST_CODES,
  'turbine-never-holds',
  'turbine-limited',
  'no-gate',
  'speed-reserve',
  'surge-margin',
  'choke-margin',
  'turbine-heat',
  'gate-nearly-open',
  'gate-nearly-shut',
  'turbine-choked',
  'map-extended-above',
  'map-estimated',
  'turbine-estimated',
  'efficiency-assumed',
  'bsfc-implausible',
  'map-extended',
  'turbine-extended',
  GUESSED,
  'within-limits',
  'peak-power',
  'peak-torque',
  'boost-threshold',
  'peak-shaft-speed',
  'peak-back-pressure',
  'wastegate-flow-fraction',
  'gate-area',
  'no-speed-limit',
  'no-turbine',
  'turbine-temperature-estimated',
];

const CODE_RANK: ReadonlyMap<string, number> = new Map(CODE_ORDER.map((code, at) => [code, at]));

/**
 * What there is to say about an operating line, worst first: what stops the match, what calls for caution, the good news if there is
 * any, then notes. Facts with their numbers in SI; the views word them. `FindingValues` lists every code.
 *
 * @param points as solveOperatingLine gave them for this input
 * @param input the same input
 */
export function findings(points: readonly OperatingPoint[], input: MatchInput): Finding[] {
  const line = points.toSorted((a, b) => a.engineSpeedRpm - b.engineSpeedRpm);
  const bad = line.every((p) => p.status === 'bad-input');
  // An input that is impossible as a whole says nothing else, and its numbers cannot be relied on.
  const found = bad
    ? mapFindings(line, input).filter((f) => f.code === 'no-point-bad-input')
    : allFindings(line, input);
  return found.toSorted((a, b) => rank(a) - rank(b));
}

function allFindings(line: readonly OperatingPoint[], input: MatchInput): Finding[] {
  const found = [
    ...limitFindings(line, input),
    ...mapFindings(line, input),
    ...estimateFindings(line, input),
    ...turbineFindings(line, input),
    ...fuelFindings(line, input),
    ...noteFindings(line, input),
  ];
  return [...found, ...good(line, input, found)];
}

function rank(entry: Finding): number {
  return SEVERITY_ORDER.indexOf(entry.severity) * 100 + (CODE_RANK.get(entry.code) ?? CODE_ORDER.length);
}

/**
 * Only when nothing stops the match or calls for caution and a maximum shaft speed was there to be held. A goal that is not held over the
 * boost threshold is a caution, so that it clouds this.
 */
function good(line: readonly OperatingPoint[], input: MatchInput, found: readonly Finding[]): Finding[] {
  const solved = line.filter((p) => p.status === 'ok');
  const clouded = judging(found).some(
    (f) => f.severity === 'stop' || f.severity === 'caution' || f.code === 'no-speed-limit',
  );
  if (clouded || solved.length === 0) return [];
  const threshold = boostThreshold(line);
  const least = (key: ResultKey) => extremeOf(solved, key, 'lowest')?.value;
  const values = {
    points: solved.length,
    speedMargin: least('speedMargin'),
    surgeMargin: least('surgeMargin'),
    chokeMargin: least('chokeMargin'),
    thresholdRpm: threshold?.status === 'found' ? threshold.engineSpeedRpm : undefined,
    backPressureRatio: extremeOf(solved, 'backPressureRatio', 'highest')?.value,
    wastegateShare: wastegateShareAtPeak(line, input.turbine)?.wastegateShare,
  };
  const rangeRpm = [solved[0]?.engineSpeedRpm ?? 0, solved[solved.length - 1]?.engineSpeedRpm ?? 0] as const;
  return [finding('good', 'within-limits', values, { rangeRpm })];
}
