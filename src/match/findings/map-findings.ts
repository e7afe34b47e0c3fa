import type { Finding, MatchInput, OperatingPoint, OperatingPointMissing, OperatingPointSolved } from '../types.ts';
import { boostThreshold } from './boost-threshold.ts';
import type { NoPointCode } from './codes.ts';
import { overRuns } from './limit-findings.ts';
import { finding, runsOf } from './runs.ts';

/** What is said about where the line lies on the map, and where it leaves it. */
export function mapFindings(points: readonly OperatingPoint[], input: MatchInput): Finding[] {
  return [...noPoint(points), ...surge(points, input), ...choke(points, input), ...extension(points, input)];
}

function noPoint(points: readonly OperatingPoint[]): Finding[] {
  const runs = runsOf<OperatingPointMissing>(points, (point) =>
    point.status === 'ok' ? null : { key: point.status, point },
  );
  const threshold = boostThreshold(points);
  // Under its boost threshold no turbine drives anything: that is no fault of this one.
  const lowEnd = threshold?.status === 'found' ? threshold.rangeRpm[1] : 0;
  return runs.map(({ run }) => {
    const [first] = run.points as [OperatingPointMissing];
    const code: NoPointCode = `no-point-${first.status}`;
    const isUnder = first.status === 'turbine-too-weak' && run.rangeRpm[1] <= lowEnd;
    const severity = first.status === 'no-compression' || isUnder ? 'note' : 'stop';
    const values = { points: run.points.length, ...first.demand };
    return finding(severity, code, values, { engineSpeedRpm: first.engineSpeedRpm, rangeRpm: run.rangeRpm });
  });
}

function isLeftOfSurge(p: OperatingPointSolved): boolean {
  return p.region === 'left-of-surge' || (p.surgeMargin !== null && p.surgeMargin < 0);
}

function isChoked(p: OperatingPointSolved): boolean {
  return p.region === 'right-of-choke' || (p.chokeMargin !== null && p.chokeMargin < 0);
}

const onMap = (p: OperatingPointSolved) => ({
  correctedMassFlowKgPerS: p.correctedMassFlowKgPerS,
  pressureRatio: p.pressureRatio,
});

function surge(points: readonly OperatingPoint[], input: MatchInput): Finding[] {
  const leastMargin = input.limits.surgeMargin ?? 0;
  const least = (p: OperatingPointSolved) => -(p.surgeMargin ?? 0);
  const left = overRuns(points, isLeftOfSurge, least, (worst, place) =>
    finding('stop', 'left-of-surge', { ...known('surgeMargin', worst.surgeMargin), ...onMap(worst) }, place),
  );
  const thin = overRuns(
    points,
    (p) => !isLeftOfSurge(p) && p.surgeMargin !== null && p.surgeMargin < leastMargin,
    least,
    (worst, place) => finding('caution', 'surge-margin', { surgeMargin: worst.surgeMargin ?? 0, leastMargin }, place),
  );
  return [...left, ...thin];
}

function choke(points: readonly OperatingPoint[], input: MatchInput): Finding[] {
  const leastMargin = input.limits.chokeMargin ?? 0;
  const least = (p: OperatingPointSolved) => -(p.chokeMargin ?? 0);
  const past = overRuns(points, isChoked, least, (worst, place) =>
    finding('stop', 'choked', { ...known('chokeMargin', worst.chokeMargin), ...onMap(worst) }, place),
  );
  const thin = overRuns(
    points,
    (p) => !isChoked(p) && p.chokeMargin !== null && p.chokeMargin < leastMargin,
    least,
    (worst, place) => finding('caution', 'choke-margin', { chokeMargin: worst.chokeMargin ?? 0, leastMargin }, place),
  );
  return [...past, ...thin];
}

function known<K extends string>(key: K, value: number | null): { [k in K]?: number } {
  return value === null ? {} : ({ [key]: value } as { [k in K]: number });
}

function extension(points: readonly OperatingPoint[], input: MatchInput): Finding[] {
  const { highestLineRpm, lowestLineRpm } = input.compressor;
  const above = (p: OperatingPointSolved) => p.extended && p.correctedSpeedRpm > highestLineRpm;
  const below = (p: OperatingPointSolved) => p.extended && p.correctedSpeedRpm < lowestLineRpm;
  // Left of surge and past choke have findings of their own, which say more.
  const beside = (p: OperatingPointSolved) => p.extended && !above(p) && !below(p) && !isLeftOfSurge(p) && !isChoked(p);
  return [
    ...overRuns(
      points,
      above,
      (p) => p.correctedSpeedRpm,
      (worst, place) =>
        finding('caution', 'map-extended-above', { correctedSpeedRpm: worst.correctedSpeedRpm, highestLineRpm }, place),
    ),
    ...overRuns(
      points,
      beside,
      (p) => p.pressureRatio,
      (worst, place) => finding('caution', 'map-extended', onMap(worst), place),
    ),
    ...overRuns(
      points,
      below,
      (p) => -p.correctedSpeedRpm,
      (worst, place) =>
        finding('note', 'map-extended-below', { correctedSpeedRpm: worst.correctedSpeedRpm, lowestLineRpm }, place),
    ),
    ...overRuns(
      points,
      (p) => p.efficiencyAssumed,
      (p) => p.compressorPowerW,
      (worst, place) => finding('caution', 'efficiency-assumed', { efficiency: worst.efficiency }, place),
    ),
  ];
}
