import type { Problem } from '../../build/index.ts';
import {
  decimalsShown,
  type Finding,
  LIMIT_KEYS,
  LIMITS,
  marginSize,
  RESULTS,
  type ResultUnits,
  showLimit,
  showResult,
  unitShown,
} from '../../match/index.ts';
import { capital, formatNumber, NO_BREAK_SPACE, rpmText, unitOf } from '../../units/index.ts';
import {
  type FindingSentence,
  held,
  past,
  percent,
  ratio,
  rpm,
  TURBINE_SENTENCES,
  type Values,
} from './turbineSentences.ts';

const shaft = (speed: number | undefined, units: ResultUnits) => showResult(speed, 'shaft-speed', units);
const fuel = (si: number | undefined, units: ResultUnits) => showResult(si, 'fuel-flow', units);
/** Rounded up: what is named as enough must be enough. */
function atLeast(si: number | undefined, unit: string, decimals = 0): string {
  const step = 10 ** -decimals;
  const { label, toSi } = unitOf('fuel-volume-flow', unit);
  return `${formatNumber(Math.ceil((si ?? Number.NaN) / toSi / step - 1e-9) * step, decimals)}${NO_BREAK_SPACE}${label}`;
}

/** What each injector must give, in the unit that injectors are sold by. */
export const injectorAtLeast = (si: number | undefined, { system }: ResultUnits) =>
  atLeast(si, system === 'us' ? 'lb/h' : 'cc/min');

/** What the pump must give. */
export const pumpAtLeast = (si: number | undefined, units: ResultUnits) =>
  atLeast(si, unitShown('fuel-flow', units), decimalsShown('fuel-flow', units));

const noPoint =
  (why: (values: Values) => string): FindingSentence['say'] =>
  (values, _units, { range }) =>
    `${range === '' ? 'somewhere' : range} there is no operating point: ${why(values)}`;

const edgeWords = (margin: number | undefined, beyond: string, within: string): string =>
  margin === undefined ? '' : `${marginSize(margin)} ${margin < 0 ? beyond : within}`;

const LIMIT_SENTENCES: Readonly<Record<string, FindingSentence>> = {
  overspeed: {
    say: (v, u, { at }) =>
      `${at}the shaft turns ${shaft(v.shaftSpeedRpm, u)}, ${marginSize(v.margin)} over its limit of ${showLimit(v.limitRpm, 'shaft-speed', u)}.`,
    extent: 'Over its limit',
  },
  'speed-reserve': {
    say: (v, u, { at }) =>
      `${at}the shaft turns ${shaft(v.shaftSpeedRpm, u)}, ${marginSize(v.margin)} under its limit: less than the reserve of ${percent(v.reserve, 0)}.`,
    extent: 'Within the reserve',
  },
  'no-speed-limit': {
    say: (v, u, { at }) =>
      `no maximum shaft speed is entered, so nothing can be said about overspeed. ${at}the shaft turns ${shaft(v.shaftSpeedRpm, u)}.`,
  },
  'left-of-surge': {
    say: (v, _u, { at }) =>
      v.surgeMargin === undefined
        ? `${at}the point lies left of the surge line (pressure ratio ${ratio(v.pressureRatio)}): the compressor surges.`
        : `${at}the point lies ${marginSize(v.surgeMargin)} left of the surge line: the compressor surges.`,
    extent: 'In surge',
  },
  'surge-margin': {
    say: (v, _u, { at }) =>
      `${at}the surge margin is ${percent(v.surgeMargin)}, less than the ${percent(v.leastMargin, 0)} asked for.`,
    extent: 'Too near to surge',
  },
  'edge-guessed': {
    say: (v, u, { at }) => {
      const words = [
        edgeWords(v.surgeMargin, 'left of the surge line', 'right of the surge line'),
        edgeWords(v.chokeMargin, 'past the choke end', 'before the choke end'),
      ].filter((word) => word !== '');
      const where = words.length === 0 ? 'past the edge of the map' : words.join(' and ');
      const turns = showResult(v.correctedSpeedRpm, 'shaft-speed', u, { withUnit: false });
      return `${at}the shaft is below the lowest speed line (${turns} of ${shaft(v.lowestLineRpm, u)} corrected): by a guess ${where}. Read the sheet further down, or log the car.`;
    },
    extent: 'By a guess of the map',
  },
  choked: {
    say: (v, _u, { at }) =>
      v.chokeMargin === undefined
        ? `${at}the point lies past the choke end of the map (pressure ratio ${ratio(v.pressureRatio)}).`
        : `${at}the flow is ${marginSize(v.chokeMargin)} past the choke end of its speed line.`,
    extent: 'Choked',
  },
  'choke-margin': {
    say: (v, _u, { at }) =>
      `${at}the choke margin is ${percent(v.chokeMargin)}, less than the ${percent(v.leastMargin, 0)} asked for.`,
    extent: 'Too near to choke',
  },
};

/** Over the highest value entered, each limit in its own words. */
const HIGHEST = Object.fromEntries(
  Object.values(LIMITS).flatMap(({ finding, bounds }, i): [string, FindingSentence][] => {
    if (finding === undefined || bounds === undefined) return [];
    const { shown } = RESULTS[bounds.result];
    const say: FindingSentence['say'] = (values, units, { at }) => {
      const [value, limit] = finding.names;
      return `${at}${finding.sentence(showResult(values[value], shown, units), showLimit(values[limit], shown, units))}.`;
    };
    return [[LIMIT_KEYS[i]!, { say, extent: finding.extent }]];
  }),
);

const FUEL: Readonly<Record<string, FindingSentence>> = {
  'injector-duty': {
    say: (v, _u, { at }) =>
      (v.duty ?? 0) > 1
        ? `${at}the injectors would have to open for ${percent(v.duty)} of the cycle: they cannot deliver the fuel.`
        : `${at}the injectors open for ${percent(v.duty)} of the cycle; the shop's limit is ${percent(v.dutyLimit, 0)}.`,
    extent: 'Over the duty limit',
  },
  'injector-pressure': {
    say: (v, u, { at }) =>
      `${at}the rail leaves ${showResult(v.pressureDifferencePa, 'boost', u)} across the injectors: no fuel flows. Check the rail pressure and its reference.`,
    extent: 'So',
  },
  'pump-flow': {
    say: (v, u, { at }) =>
      `${at}the engine burns ${fuel(v.flowM3PerS, u)} of fuel; the pump gives ${fuel(v.pumpFlowM3PerS, u)}.`,
    extent: 'Too little fuel',
  },
  'fuel-needed': {
    say: (v, u, { at }) =>
      `${at}${formatNumber(v.injectorCount ?? Number.NaN, 0)} injectors of at least ${injectorAtLeast(v.injectorFlowM3PerS, u)} each, rated at ${showResult(v.ratedPressurePa, 'boost', u)}, are needed to stay within ${percent(v.dutyLimit, 0)} duty; the pump must give ${pumpAtLeast(v.pumpFlowM3PerS, u)} against ${showResult(v.pumpPressurePa, 'boost', u)}.`,
  },
  'fuel-supply-not-checked': {
    say: () => 'the fuel supply is not checked: injectors and pump are computed for liquid fuels only.',
  },
  'port-diesel-as-direct': {
    say: () => 'diesel does not evaporate in the intake port: it is computed as injected into the cylinder.',
  },
  'bsfc-implausible': {
    say: (v, _u, { at }) =>
      `${at}the bsfc entered means a brake thermal efficiency of ${percent(v.thermalEfficiency, 0)}, which no such engine reaches. Check the number and its unit.`,
    extent: 'So',
  },
};

const MAP: Readonly<Record<string, FindingSentence>> = {
  'map-extended-above': {
    say: (v, u, { at }) =>
      `${at}the point lies above the top speed line of the sheet (${shaft(v.correctedSpeedRpm, u)} corrected, top line ${shaft(v.highestLineRpm, u)}): the map is extended there and less certain.`,
    extent: 'Above the top line',
  },
  'map-extended-below': {
    say: (v, u, { at }) =>
      `${at}the point lies below the lowest speed line of the sheet (${shaft(v.correctedSpeedRpm, u)} corrected, lowest line ${shaft(v.lowestLineRpm, u)}): the map is extended there.`,
    extent: 'Below the lowest line',
  },
  'map-extended': {
    say: (_v, _u, { at }) =>
      `${at}the point lies past the ends of the entered speed lines: the map is extended there and less certain.`,
    extent: 'Extended',
  },
  'efficiency-assumed': {
    say: (v) =>
      `the map has no efficiency; ${percent(v.efficiency, 0)} is assumed everywhere. Temperatures and power follow from that assumption.`,
  },
  'map-estimated': {
    say: (v) =>
      `the map is an estimate, scaled from another wheel's: flow may be ${percent(Math.max(v.surgeFlowBand ?? 0, v.chokeFlowBand ?? 0), 0)} off, pressure ratio ${percent(v.pressureRatioBand, 0)}, efficiency ${percent(v.efficiencyBand)}.`,
  },
  'water-condenses': {
    say: (v, u, { at }) =>
      `${at}the charge is cooled to ${showResult(v.manifoldTemperatureK, 'temperature', u)}, below its dew point: water comes out in the cooler. The computation leaves it in the air.`,
    extent: 'So',
  },
  'curve-held-volumetric-efficiency': {
    say: held('volumetric efficiency', (v) => `, ${percent(v.value, 0)},`),
  },
  'curve-held-lambda': { say: held('lambda', (v) => `, ${ratio(v.value)},`) },
  'curve-held-bsfc': {
    say: held('bsfc', (v, u) => `, ${showResult(v.value, 'consumption', u)},`),
  },
  'curve-held-goal': { say: held('the goal', () => '') },
};

const PEAKS: Readonly<Record<string, FindingSentence>> = {
  'peak-power': {
    say: (v, u, { at }) =>
      `${at}the power peaks: ${showResult(v.wheelPowerW, 'power', u)} at the wheels, ${showResult(v.brakePowerW, 'power', u)} at the crankshaft.`,
  },
  'peak-torque': { say: (v, u, { at }) => `${at}the torque peaks: ${showResult(v.torqueNm, 'torque', u)}.` },
  'peak-shaft-speed': { say: (v, u, { at }) => `${at}the shaft turns fastest: ${shaft(v.shaftSpeedRpm, u)}.` },
  'within-limits': {
    say: (v, u) =>
      `${
        v.thresholdRpm === undefined
          ? 'every engine speed has its point'
          : `from about ${rpm(v.thresholdRpm)} up the goal is held`
      } and every limit entered holds${leastMargins(v, u)}${turbineWords(v)}.`,
  },
};

const NO_POINT: Readonly<Record<string, FindingSentence>> = {
  'no-point-left-of-map': {
    say: noPoint(() => 'the engine takes less air than the map answers for. The compressor would be deep in surge.'),
  },
  'no-point-right-of-map': {
    say: noPoint(() => 'the engine asks for more air than the compressor passes. It is choked.'),
  },
  'no-point-above-map': {
    say: noPoint((v) =>
      v.pressureRatio === undefined
        ? 'the goal asks for more pressure than the map and its extension hold.'
        : `the goal asks for a pressure ratio of ${ratio(v.pressureRatio)}, above the map and its extension.`,
    ),
  },
  'no-point-no-compression': {
    say: (_v, _u, { range }) => `${range} the goal asks for no compression: the engine draws that much by itself.`,
  },
  'no-point-inlet-exhausted': {
    say: noPoint(
      () => "the inlet path's loss leaves no pressure at this flow. Check the loss, its flow and their units.",
    ),
  },
  'no-point-unreachable-goal': { say: noPoint(() => 'no manifold pressure gives the power asked for.') },
  'no-point-turbine-too-weak': {
    say: noPoint(() => 'the exhaust drives no boost that the map answers for.'),
  },
  'no-point-gate-too-small': {
    say: noPoint(() => 'the wastegate is wide open and the boost creeps beyond what the map answers for. Enlarge it.'),
  },
  'no-point-exhaust-blocked': {
    say: noPoint(
      () =>
        'the turbine does not pass the exhaust at any back-pressure that the engine can breathe against. Check its capacity and the exhaust loss.',
    ),
  },
  'no-point-no-efficiency': {
    say: noPoint(() => 'the map has no efficiency and none is assumed. Enter one with the candidate.'),
  },
  'no-point-bad-input': {
    say: noPoint(() => 'an input is missing or cannot be right. The table of operating points names it.'),
  },
  'no-point-not-converged': {
    say: noPoint(() => 'the computation did not close. Save the build file and report it.'),
  },
};

/** One sentence a code, for every code of src/match/findings/codes.ts (a test holds the two together). */
const FINDING_SENTENCES: Readonly<Record<string, FindingSentence>> = {
  ...LIMIT_SENTENCES,
  ...HIGHEST,
  ...FUEL,
  ...TURBINE_SENTENCES,
  ...MAP,
  ...PEAKS,
  ...NO_POINT,
};

function leastMargins(values: Values, units: ResultUnits): string {
  const parts = [
    values.speedMargin === undefined ? null : `speed ${percent(values.speedMargin)}`,
    values.surgeMargin === undefined ? null : `surge ${percent(values.surgeMargin)}`,
    values.chokeMargin === undefined ? null : `choke ${percent(values.chokeMargin)}`,
  ].filter((part) => part !== null);
  return parts.length === 0 ? '' : `; least margins${units.several ? ' per turbo' : ''}: ${parts.join(', ')}`;
}

function turbineWords(v: Values): string {
  const back = v.backPressureRatio === undefined ? '' : `; p3/p_m at most ${ratio(v.backPressureRatio)}`;
  return v.wastegateShare === undefined ? back : `${back}; ${past(v)} in hand at peak power`;
}

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
    let said: string | undefined;
    return {
      id: `${finding.code}-${run}`,
      severity: finding.severity,
      word: WORDS[finding.severity],
      // Put in words when it is read: two thirds of them are notes, which stay folded while an input moves.
      get sentence() {
        said ??= sentenceOf(finding, units, turboCount);
        return said;
      },
      engineSpeedRpm: finding.engineSpeedRpm ?? null,
    };
  });
}

/** One finding as a sentence. A code that has none is a slip in the program: the code itself is shown rather than nothing. */
export function sentenceOf(finding: Finding, units: ResultUnits, turboCount = 1): string {
  const row: FindingSentence | undefined = FINDING_SENTENCES[finding.code];
  if (row === undefined) return `${finding.code}.`;
  const perTurbo = isPerTurbo(finding.code, turboCount);
  const at =
    finding.engineSpeedRpm === undefined ? '' : `${perTurbo ? 'at' : 'At'} ${rpmText(finding.engineSpeedRpm)} `;
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
  return first === last ? `at ${rpmText(first)}` : `from ${formatNumber(first, 0)} to ${rpmText(last)}`;
}

/**
 * Entries that stand in the way, listed like findings: nothing can be computed before they are mended.
 * @param isBegun false: no map was chosen yet, so that nothing is wrong
 */
export function problemWords(problems: readonly Problem[], isBegun: boolean): FindingWords[] {
  return problems.map(({ path, message }, index) => ({
    id: `problem-${path}-${index}`,
    severity: isBegun ? 'stop' : 'note',
    word: 'Missing',
    sentence: message,
    engineSpeedRpm: null,
  }));
}
