import { shaftSpeedLimit } from './operating-line.ts';
import type { ResultKey } from './results.ts';
import type { MatchInput, OperatingPointSolved } from './types.ts';

/*
 * Every limit that a boost must hold, once: what it is held against, how far a point is from it, its name and hatch, what a finding says
 * where it is crossed. Ceilings, findings, charts, tables and paper pick from here; what only the studies say of it stands in bindings.ts.
 * A new limit: its number in MatchLimits, its key, its entries; and its field in the build.
 */

/** The limits of a match, SI. One that is left out is not asked for. */
export interface MatchLimits {
  /** The maker's maximum PHYSICAL shaft speed. */
  shaftSpeedRpm?: number | undefined;
  /** Share of shaftSpeedRpm kept in hand, 0..0.5; a point may reach shaftSpeedRpm (1 - reserve). */
  shaftSpeedReserve?: number | undefined;
  /** Least surge margin at constant corrected speed (0.1 = 10 %). */
  surgeMargin?: number | undefined;
  chokeMargin?: number | undefined;
  compressorOutletTemperatureK?: number | undefined;
  manifoldPressurePa?: number | undefined;
  brakePowerW?: number | undefined;
  /** What gearbox or clutch bear, at the crankshaft. */
  torqueNm?: number | undefined;
  /** Highest p3/p_m; held only where the turbine is known. */
  backPressureRatio?: number | undefined;
  turbineInletTemperatureK?: number | undefined;
}

/** The limits that a ceiling must hold: those of the match, and one that only a study needs. */
export interface StudyLimits extends MatchLimits {
  /** Keep off what is extended above the top speed line. Left out: the extension may be used, and every point in it says so. */
  stayBelowTopLine?: boolean | undefined;
}

/** Surge and choke always count, with a margin of 0 where none is chosen: no ceiling lies left of surge or beyond choke. */
export type LimitKey =
  | 'shaft-speed' // N = Nmax (1 - reserve)
  | 'surge-margin'
  | 'choke-margin'
  | 'outlet-temperature'
  | 'manifold-pressure'
  | 'brake-power'
  | 'torque' // of the gearbox, the clutch
  | 'top-line'
  | 'turbine' // the exhaust drives it: the gate has something left
  | 'back-pressure' // p3/p_m
  | 'turbine-temperature'
  | 'gate'; // with the gate wide open the boost comes down so far

/** Values of the findings of limits that are a highest value, by code (FindingValues has the others). All are stops. */
export interface HighestValues {
  'outlet-temperature': { temperatureK: number; limitK: number };
  /** Absolute. */
  'manifold-pressure': { pressurePa: number; limitPa: number };
  'brake-power': { powerW: number; limitW: number };
  torque: { torqueNm: number; limitNm: number };
  /** Highest p3/p_m entered. */
  'back-pressure': { backPressureRatio: number; limitRatio: number };
  'turbine-temperature': { temperatureK: number; limitK: number };
}

/** Share of the goal from which a shut gate counts as holding it: no gauge shows half a percent (common practice, no source). */
export const AS_GOOD_AS_HELD = 0.995;

/** What the quick solver of the studies knows of a point; limits read nothing else of it. */
export type LimitedPoint = Pick<
  OperatingPointSolved,
  | 'engineSpeedRpm'
  | 'region'
  | 'airMassFlowKgPerS'
  | 'correctedMassFlowKgPerS'
  | 'pressureRatio'
  | 'efficiency'
  | 'shaftSpeedRpm'
  | 'correctedSpeedRpm'
  | 'surgeMargin'
  | 'chokeMargin'
  | 'compressorOutletTemperatureK'
  | 'compressorOutletPressurePa'
  | 'manifoldTemperatureK'
  | 'manifoldPressurePa'
  | 'brakePowerW'
  | 'torqueNm'
>;

/** What the turbine's limits read of a point. */
export interface DrivenLimits {
  /** Below 0: the turbine would need more exhaust than there is. */
  wastegateShare: number;
  /** 1 where the goal is held; more where the boost creeps over it. */
  reachedShare: number;
  /** See TurbineState. */
  gateOpening: number | null;
  backPressureRatio: number;
  inletTemperatureK: number;
}

export type LimitHatch =
  | 'rising'
  | 'falling'
  | 'upright'
  | 'level'
  | 'dots'
  | 'grid'
  | 'crossed'
  | 'sparse'
  | 'zigzag'
  | 'brick'
  | 'plus'
  | 'dashes'
  | 'corners'
  // Drawn, and free for the next limit.
  | 'ladder';

export interface Limit {
  /** On charts and in legends: 'Shaft speed'. */
  name: string;
  /** Each has one of its own, so that it is told apart in black and white. */
  hatch: LimitHatch;
  /** Path of its field in the build; left out: nothing is entered for it. */
  field?: string;
  /** The result of a point that it bounds, and from which side; left out: no single number of a point. */
  bounds?: { result: ResultKey; side: 'most' | 'least' };
  /** Counts only where the turbine is known. */
  needsTurbine?: true;
  /** The number that `bounds` is held against as it was asked for, SI; undefined: not asked. Without an input: as far as the limits alone say. */
  asked: (limits: StudyLimits, input?: MatchInput) => number | undefined;
  /** The number that slacks are counted from; left out: `asked`, Infinity where nothing is asked. */
  held?: (limits: StudyLimits, input: MatchInput) => number;
  /** How far a point is from it, as a share; below 0 it is crossed. `driven` is there where needsTurbine is set. */
  slack: (point: LimitedPoint, held: number, driven: DrivenLimits) => number;
  /** The finding where a line crosses a highest value; left out: src/match/findings/limit-findings.ts says more of it. */
  finding?: HighestFinding;
}

/** What is said where a value lies over its limit. */
export interface HighestFinding {
  /** Under which names the value and the limit stand in the finding. */
  names: {
    [Code in keyof HighestValues]: readonly [keyof HighestValues[Code], keyof HighestValues[Code]];
  }[keyof HighestValues];
  /** The value and the limit come in the user's units. */
  sentence: (value: string, limit: string) => string;
  /** Opens the second sentence: 'Too hot' + ' from 6,000 to 6,800 rpm.' */
  extent: string;
}

const most = (value: number, held: number) => 1 - value / held;

/** What the map calls beyond its edge is beyond it, also where the margin, measured along the speed line, is a hair above 0. */
function marginSlack(margin: number | null, least: number, beyond: boolean): number {
  const slack = margin === null ? Number.POSITIVE_INFINITY : margin - least;
  return beyond ? Math.min(slack, -1e-6) : slack;
}

export const LIMITS: Readonly<Record<LimitKey, Limit>> = {
  'shaft-speed': {
    name: 'Shaft speed',
    hatch: 'rising',
    field: 'limits.shaftSpeedReserve',
    bounds: { result: 'speedMargin', side: 'least' },
    asked: (limits, input) =>
      (limits.shaftSpeedRpm ?? (input && shaftSpeedLimit(input))) === undefined
        ? undefined
        : (limits.shaftSpeedReserve ?? 0),
    held: (limits) =>
      limits.shaftSpeedRpm === undefined
        ? Number.POSITIVE_INFINITY
        : limits.shaftSpeedRpm * (1 - (limits.shaftSpeedReserve ?? 0)),
    slack: (point, held) => most(point.shaftSpeedRpm, held),
  },
  'surge-margin': {
    name: 'Surge margin',
    hatch: 'upright',
    field: 'limits.surgeMargin',
    bounds: { result: 'surgeMargin', side: 'least' },
    asked: (limits) => limits.surgeMargin ?? 0,
    slack: (point, held) => marginSlack(point.surgeMargin, held, point.region === 'left-of-surge'),
  },
  'choke-margin': {
    name: 'Choke margin',
    hatch: 'level',
    field: 'limits.chokeMargin',
    bounds: { result: 'chokeMargin', side: 'least' },
    asked: (limits) => limits.chokeMargin ?? 0,
    slack: (point, held) => marginSlack(point.chokeMargin, held, point.region === 'right-of-choke'),
  },
  'outlet-temperature': {
    name: 'Outlet temperature',
    hatch: 'dots',
    field: 'limits.compressorOutletTemperature',
    bounds: { result: 'compressorOutletTemperatureK', side: 'most' },
    asked: (limits) => limits.compressorOutletTemperatureK,
    slack: (point, held) => most(point.compressorOutletTemperatureK, held),
    finding: {
      names: ['temperatureK', 'limitK'],
      extent: 'Too hot',
      sentence: (value, limit) => `the air leaves the compressor at ${value}; the limit is ${limit}`,
    },
  },
  'manifold-pressure': {
    name: 'Manifold pressure',
    hatch: 'grid',
    field: 'limits.manifoldPressure',
    bounds: { result: 'manifoldPressurePa', side: 'most' },
    asked: (limits) => limits.manifoldPressurePa,
    slack: (point, held) => most(point.manifoldPressurePa, held),
    finding: {
      names: ['pressurePa', 'limitPa'],
      extent: 'Over the limit',
      sentence: (value, limit) => `the manifold pressure is ${value} absolute; the limit is ${limit}`,
    },
  },
  'brake-power': {
    name: 'Power',
    hatch: 'falling',
    field: 'limits.brakePower',
    bounds: { result: 'brakePowerW', side: 'most' },
    asked: (limits) => limits.brakePowerW,
    slack: (point, held) => most(point.brakePowerW, held),
    finding: {
      names: ['powerW', 'limitW'],
      extent: 'Over the limit',
      sentence: (value, limit) => `the engine makes ${value} at the crankshaft; the limit is ${limit}`,
    },
  },
  torque: {
    name: 'Torque',
    hatch: 'dashes',
    field: 'limits.torque',
    bounds: { result: 'torqueNm', side: 'most' },
    asked: (limits) => limits.torqueNm,
    slack: (point, held) => most(point.torqueNm, held),
    finding: {
      names: ['torqueNm', 'limitNm'],
      extent: 'Over the limit',
      sentence: (value, limit) =>
        `the engine gives ${value} at the crankshaft; the limit of gearbox or clutch is ${limit}`,
    },
  },
  'top-line': {
    name: 'Top speed line',
    hatch: 'crossed',
    field: 'limits.stayBelowTopLine',
    asked: (limits, input) => (limits.stayBelowTopLine === true ? input?.compressor.highestLineRpm : undefined),
    slack: (point, held) => most(point.correctedSpeedRpm, held),
  },
  turbine: {
    name: 'Exhaust too weak',
    hatch: 'zigzag',
    needsTurbine: true,
    asked: () => undefined,
    // What the gate has left; with the gate shut short of the goal by how much it is missed.
    slack: (_point, _held, { reachedShare, wastegateShare }) =>
      reachedShare < 1 ? reachedShare - AS_GOOD_AS_HELD : wastegateShare,
  },
  'back-pressure': {
    name: 'Back-pressure',
    hatch: 'brick',
    field: 'limits.backPressureRatio',
    bounds: { result: 'backPressureRatio', side: 'most' },
    needsTurbine: true,
    asked: (limits) => limits.backPressureRatio,
    slack: (_point, held, driven) => most(driven.backPressureRatio, held),
    finding: {
      names: ['backPressureRatio', 'limitRatio'],
      extent: 'Over the limit',
      sentence: (value, limit) => `the back-pressure ratio p3/p_m is ${value}; the limit is ${limit}`,
    },
  },
  'turbine-temperature': {
    name: 'Turbine inlet temperature',
    hatch: 'plus',
    field: 'limits.turbineInletTemperature',
    bounds: { result: 'turbine.inletTemperatureK', side: 'most' },
    needsTurbine: true,
    asked: (limits) => limits.turbineInletTemperatureK,
    slack: (_point, held, driven) => most(driven.inletTemperatureK, held),
    finding: {
      names: ['temperatureK', 'limitK'],
      extent: 'Too hot',
      sentence: (value, limit) => `the exhaust enters the turbine at ${value}; the limit is ${limit}`,
    },
  },
  gate: {
    name: 'Wastegate too small',
    hatch: 'corners',
    needsTurbine: true,
    asked: () => undefined,
    // What the gate has left to open; wide open over the goal by how much that is exceeded.
    slack: (_point, _held, { reachedShare, gateOpening }) => {
      if (reachedShare > 1) return 2 - AS_GOOD_AS_HELD - reachedShare;
      return gateOpening === null ? Number.POSITIVE_INFINITY : 1 - gateOpening;
    },
  },
};

/** The limit that bounds a result of a point, if one does. */
export function limitOn(result: ResultKey): Limit | undefined {
  return Object.values(LIMITS).find(({ bounds }) => bounds?.result === result);
}

/** The order in which slacks stand. */
export const LIMIT_KEYS = Object.keys(LIMITS) as readonly LimitKey[];

/** What breaks first stands first among findings; a limit that is not named comes after these. */
const HEAVIEST: readonly LimitKey[] = [
  'manifold-pressure',
  'outlet-temperature',
  'turbine-temperature',
  'back-pressure',
];

/** The codes of findings that the limits of a highest value give, heaviest first. */
export const HIGHEST_CODES: readonly LimitKey[] = [
  ...HEAVIEST,
  ...LIMIT_KEYS.filter((key) => LIMITS[key].finding !== undefined && !HEAVIEST.includes(key)),
];
