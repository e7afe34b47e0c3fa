import type { Measured, WheelRatios } from '../../compressor/types.ts';
import type { CeilingTable, Finding, HeldGoal, MatchInput, OperatingPoint } from '../types.ts';

/** One candidate, solved. */
export interface SolvedCandidate {
  input: MatchInput;
  points: readonly OperatingPoint[];
  findings: readonly Finding[];
  /** Ceilings at the input's own place; null: not solved, and their rows are left out. */
  ceilings: CeilingTable | null;
  /** The goal held over altitude; null: not solved, and its row is left out. */
  held: HeldGoal | null;
}

export type ComparisonKey =
  | 'points-held' // share of the engine speeds at which the goal has a point and no limit is crossed
  | 'power-at-goal' // W, highest brake power of the line
  | 'peak-torque' // N m, highest torque of the line
  | 'power-at-ceiling' // W, highest brake power at which every limit holds
  | 'speed-margin' // least 1 - N/Nmax of the line
  | 'surge-margin' // least of the line
  | 'choke-margin' // least of the line
  | 'efficiency' // mean over the engine speeds at which both have a point
  | 'outlet-temperature' // K, highest of the line, compressor outlet
  | 'manifold-temperature' // K, highest of the line, manifold
  | 'compressor-power' // W, at the engine speed of the first one's peak power: what the turbine has to give
  | 'boost-threshold' // rpm, lowest engine speed from which the exhaust holds the goal
  | 'back-pressure-ratio' // p3/p_m at the engine speed of the first one's peak power
  | 'wastegate-flow-fraction' // share of the exhaust past the turbine there: what it could take more
  | 'air-at-same-boost' // kg/s there, where both hold the same manifold pressure: what less back-pressure fills more
  | 'altitude-held'; // m, where holding the goal first crosses a limit, at engine speeds at which both hold it at the lowest altitude

export interface ComparedValue {
  /** SI; null: not known (no limit entered, no surge end, no point). */
  value: number | null;
  /** Where on the line it is. */
  engineSpeedRpm: number | null;
  /**
   * The value is only a bound: 'at-least' where no limit is crossed up to the highest altitude, or no engine speed holds the goal;
   * 'at-most' where one is crossed at the lowest altitude, or the lowest engine speed holds it.
   */
  bound: 'at-least' | 'at-most' | null;
}

/** Of the second against the first. */
export type Verdict = 'better' | 'worse' | 'same' | 'unknown';

export interface ComparisonRow {
  key: ComparisonKey;
  a: ComparedValue;
  b: ComparedValue;
  /** b - a in the row's SI unit; null where one of them is not known. */
  difference: number | null;
  /** (b - a) / a where a share says something (powers, air); else null. */
  relative: number | null;
  /** Differences up to this, in the row's SI unit, are no difference. */
  threshold: number;
  /** 'estimate': the threshold is the band of a scaled map or of an estimated turbine. */
  thresholdFrom: 'usual' | 'estimate';
  verdict: Verdict;
}

/** The numbers that matter for two candidates on one engine, air and goal; b is held against a. */
export interface Comparison {
  rows: readonly ComparisonRow[];
  /** Rows in which b is better, those that weigh most first. */
  gained: readonly ComparisonRow[];
  /** Rows in which b is worse, likewise. */
  costs: readonly ComparisonRow[];
  /** What to watch with b: its findings of severity stop and caution. */
  watch: readonly Finding[];
  /** Engine speeds at which both have a point. */
  commonSpeedsRpm: readonly number[];
  /** Engine, air, path, exhaust and goal are not the same: the numbers do not tell the candidates apart. */
  differentInputs: boolean;
  /** Whether a, and whether b, crosses a limit or misses a point: a finding of severity stop. */
  stops: readonly [boolean, boolean];
  /** The only one whose turbine is known: the other is computed as if its exhaust drove the goal. null: both or none. */
  onlyTurbine: 'a' | 'b' | null;
  sameBoost: SameBoost | null;
}

/**
 * Both hold the same manifold pressure (within 0.1 %) with a known turbine. What one passes more is then its fuller cylinders (breathing)
 * and its denser charge, and nothing else; power follows.
 */
export interface SameBoost {
  /** Where the first one's power peaks among the engine speeds at which both hold the same. */
  engineSpeedRpm: number;
  /** Of the first one. */
  manifoldPressurePa: number;
  /** b over a, less 1. */
  airGain: number;
  powerGain: number;
  /** Volumetric efficiency over the entered one, each. */
  breathingA: number;
  breathingB: number;
  /** p3/p_m, each. */
  backPressureA: number;
  backPressureB: number;
}

export type ClaimBasis =
  | 'inducer-area'
  | 'exducer-area'
  | 'map-choke-flow' // choke flow on each map's own top (or rated) speed line
  | 'map-flow-at-goal' // most flow at the goal's pressure ratio
  | 'power-at-ceiling'; // highest power at which every limit holds

export interface ClaimEvidence {
  basis: ClaimBasis;
  /** Share that b gives more than a: 0.13 for 13 %. */
  gain: Measured;
  estimated: boolean;
}

export interface Claim {
  kind: 'flow' | 'power';
  /** 0.17 for 17 %. */
  gain: number;
}

export interface ClaimCheck {
  claim: Claim;
  evidence: readonly ClaimEvidence[];
  /** Least and most that the evidence gives, its widths included; null without evidence. */
  range: readonly [number, number] | null;
  /** 'above': more than anything that is known here gives. */
  verdict: 'within' | 'above' | 'below' | 'no-evidence';
  /** What the claim would be worth on this car at its own lambda and bsfc if the whole gain were used: W at the crankshaft. */
  worthBrakePowerW: number | null;
  worthWheelPowerW: number | null;
  /** Share of the airflow used now over the most that a passes at its goal: under 1 the gain is room, not power. */
  flowUsed: number | null;
}

export interface ClaimSources {
  /** b over a, of the compressor wheels; null: not measured. */
  ratios: WheelRatios | null;
  a: SolvedCandidate | null;
  b: SolvedCandidate | null;
}
