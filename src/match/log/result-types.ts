import type { PowerCorrection } from '../../engine/index.ts';
import type { Curve } from '../../numerics/types.ts';
import type { Tolerances } from '../studies/types.ts';
import type { Ambient } from '../types.ts';
import type { LogChannelKey } from './types.ts';

/** A reading that was taken out of its channel; it stays visible. */
export interface RemovedReading {
  readonly key: LogChannelKey;
  readonly row: number;
  readonly why: 'spike' | 'pegged';
  /** As it stood, SI: a shaft speed at the end of its sensor still counts for overspeed. */
  readonly value?: number | undefined;
}

/** What is known beside the log and the build. Everything may be left out. */
export interface RoadLogOptions {
  /** The day of the log. Left out: the build's, and a warning says so. A logged pressure or temperature of the air goes first. */
  readonly ambient?: Ambient | undefined;
  /** From compressor to inlet valves, m3. Left out: 6 times the displacement, known to half. 0: filling is not taken out. */
  readonly boostedVolumeM3?: number | undefined;
  /** Blades that the log's shaft speed was worked out with. */
  readonly bladesEntered?: number | undefined;
  /** Blades of the compressor wheel as counted: full ones, and splitters between them. */
  readonly wheelBlades?: { readonly full: number; readonly splitters: number } | undefined;
  /** The logged shaft speed is multiplied by this before anything else: a blade count that was accepted. Default 1. */
  readonly shaftSpeedFactor?: number | undefined;
  /** Taken off the logged manifold pressure, Pa: a zero of the gauge that was accepted. Left out: none was. */
  readonly manifoldZeroPa?: number | undefined;
  /** Lag of the shaft speed behind the manifold pressure, s. Left out: found. */
  readonly shaftLagS?: number | undefined;
  /** Time constant of the charge-temperature probe, s; 0: none. Left out: found. */
  readonly chargeProbeS?: number | undefined;
  /** What the logged power is: where it was measured, and by what it was made one of a standard day. Left out: at the crankshaft, as measured. */
  readonly power?: { readonly at: 'crank' | 'wheels'; readonly correction: PowerCorrection } | undefined;
  /** Of the build. Left out: the usual ones. */
  readonly tolerances?: Tolerances | undefined;
  /** What the reader of the file took out. Left out: spikes, sensors at their end and slow channels are looked for in the log itself. */
  readonly removed?: readonly RemovedReading[] | undefined;
  /** Which of the pulls are used, by their numbers. Left out: all. */
  readonly usePulls?: readonly number[] | undefined;
  /** At most so many rows are given back; more are averaged in groups of neighbours. Default 4000. */
  readonly mostRows?: number | undefined;
}

export interface RoadLogPull {
  /** Rows of the log, the first and the one after the last. */
  readonly fromRow: number;
  readonly toRow: number;
  readonly fromRpm: number;
  readonly toRpm: number;
  /** Despiked; null without a shaft speed. */
  readonly highestShaftSpeedRpm: number | null;
  readonly used: boolean;
}

/**
 * 'steady': taken as it is. 'filling': more than 2 % of the flow fills the charge path; corrected, and used up to 5 %. 'lagging': the shaft
 * speed changes faster than its sensor is known to follow. 'pegged', 'spike': a reading was taken out. 'off-map': the map has no flow for
 * this speed and pressure ratio. 'surging': the shaft speed swings.
 */
export type RoadLogRowClass = 'steady' | 'filling' | 'lagging' | 'pegged' | 'spike' | 'off-map' | 'surging';

/** How well the map meters flow here: one standard deviation up to 2 %, up to 5 %, or no flow reading. */
export type FlowReading = 'good' | 'weak' | 'none';

export interface RoadLogRow {
  /** Row of the log; the first of its group where rows are averaged. */
  readonly row: number;
  /** Number of the pull. */
  readonly pull: number;
  readonly timeS: number | null;
  readonly engineSpeedRpm: number;
  readonly class: RoadLogRowClass;
  /** The row is in the fit. */
  readonly used: boolean;
  /** null: taken out, or none in this row. */
  readonly manifoldPressurePa: number | null;
  /** Gains on the engine's flow what fills the charge path: share of the compressor's flow. */
  readonly fillingShare: number;
  /** Compressor, total. null where no shaft speed or no flow is known: the losses need one. */
  readonly pressureRatio: number | null;
  readonly correctedMassFlowKgPerS: number | null;
  /** Through one compressor. */
  readonly airMassFlowKgPerS: number | null;
  /** Of the build: referred to the back-pressure at which the entered curve was measured. Of this row alone, not of the joint fit. */
  readonly volumetricEfficiency: number | null;
  /** One, of volumetricEfficiency and in its unit; random and systematic together. */
  readonly standardDeviation: number | null;
  /** What averaging over rows makes smaller. */
  readonly randomDeviation: number | null;
  /** What it does not: instruments and inputs that may be off. */
  readonly systematicDeviation: number | null;
  readonly reading: FlowReading;
  /** Change of flow for a change of shaft speed, as shares. */
  readonly amplification: number | null;
  /** Flows that the map allows for this speed and pressure ratio; more than one: the nearest to the fit is taken. */
  readonly flows: readonly number[];
  /** Where an off-map row lies. */
  readonly side: 'left' | 'right' | 'above' | null;
  readonly shaftSpeedRpm: number | null;
  /** At this engine speed and manifold pressure with what is entered. */
  readonly predictedShaftSpeedRpm: number | null;
  readonly backPressureRatio: number | null;
}

export type FlowMeterKind = 'map' | 'air-mass' | 'fuel' | 'power';

/** Two flow meters over the same rows. */
export interface MeterComparison {
  readonly meter: Exclude<FlowMeterKind, 'map'>;
  /** The map, or where it meters nothing the entered volumetric efficiency. */
  readonly against: 'map' | 'entered';
  readonly rows: number;
  /** Mean of ln(flow of the meter / flow of the other). */
  readonly difference: number;
  readonly standardDeviation: number;
  /** More than three standard deviations. */
  readonly differ: boolean;
}

/** How two logged turbos share the air. */
export interface LogImbalance {
  /** Rows in which the map shows it, and in which it does not: where shaft speed hardly changes with flow. */
  readonly rows: number;
  readonly unseen: number;
  /** ln(W1/W2) with one standard deviation, over the engine speeds of those rows; null: too few. */
  readonly found: {
    readonly value: number;
    readonly standardDeviation: number;
    readonly rangeRpm: readonly [number, number];
    /** More than three standard deviations. */
    readonly differ: boolean;
  } | null;
}

export interface BladeVerdict {
  /**
   * 'as-entered': the count fits. 'other-count': another one does, with `probability`; proposed, never applied. 'cannot-tell': more than one
   * does. 'none-fits': the shaft speed is off, and no blade count explains it. 'no-reading': too few rows.
   */
  readonly verdict: 'as-entered' | 'other-count' | 'cannot-tell' | 'none-fits' | 'no-reading';
  /** Median of ln(logged/predicted shaft speed), with one standard deviation of what is entered and of the rows. */
  readonly logRatio: number | null;
  readonly standardDeviation: number | null;
  /** Most probable first. `blades` null: a factor alone is known. `shaftSpeedFactor` turns the logged speed into the true one. */
  readonly candidates: readonly {
    readonly blades: number | null;
    readonly missed: boolean;
    readonly shaftSpeedFactor: number;
    readonly probability: number;
  }[];
}

export interface LagFound {
  /** 'found', 'given' (an option), 'none' (no lag makes the log fit better), 'no-transient', 'no-time'. */
  readonly status: 'found' | 'given' | 'none' | 'no-transient' | 'no-time';
  /** Of the shaft speed behind the manifold pressure, s; 0 where none was found. Taken out of the rows. */
  readonly lagS: number;
  /** Spread of ln(logged/predicted) over the spool-up without and with it; null where unknown. */
  readonly spreadBefore: number | null;
  readonly spreadAfter: number | null;
}

/** First-order lag of the charge-temperature probe behind the air that the cooler lets through. */
export interface ProbeFound {
  /** 'found' or 'given': taken out of the rows. 'unknown': the log does not tell, and the bands hold what a usual probe may be behind. */
  readonly status: 'found' | 'given' | 'unknown';
  /** s; 0 where unknown. */
  readonly lagS: number;
  /** One, of lagS: what of the probe's lag the bands still hold. */
  readonly deviationS: number;
}

/** Manifold pressure with the engine standing, against the ambient pressure. */
export interface GaugeZero {
  readonly rows: number;
  readonly offsetPa: number;
}

export type RoadLogWarningCode =
  | 'no-engine-speed'
  | 'no-manifold-pressure'
  | 'no-shaft-speed'
  | 'no-pull'
  | 'bad-input'
  | 'no-weather'
  | 'no-time'
  | 'wrong-car'
  | 'overspeed'
  | 'overspeed-between-rows'
  | 'pegged'
  | 'spikes'
  | 'gauge-zero'
  | 'meters-differ'
  | 'imbalance'
  | 'imbalance-unseen'
  | 'second-shaft-of-one'
  | 'off-map'
  | 'map-meters-little'
  | 'outlet-temperature'
  | 'turbine-temperature'
  | 'back-pressure'
  | 'manifold-pressure-limit'
  | 'lean'
  | 'gate-shut-short'
  | 'gate-open-creep'
  | 'surge'
  | 'surge-unseen'
  | 'no-surge-search'
  | 'rows-averaged';

/** A fact about the log, worst first; the views put it in words. */
export interface RoadLogWarning {
  readonly severity: 'stop' | 'caution' | 'note';
  readonly code: RoadLogWarningCode;
  /** First row of the log at which it holds, where it belongs to one. */
  readonly row: number | null;
  /** SI, by name. */
  readonly values: Readonly<Record<string, number>>;
  /** What a sentence needs that is no number. */
  readonly channel?: LogChannelKey | undefined;
  readonly meter?: FlowMeterKind | undefined;
}

/** The highest shaft speed of a log, on all of its rows, where two rows beside each other reach it. */
export interface ShaftHighest {
  readonly channel: 'shaftSpeed' | 'secondShaftSpeed';
  readonly row: number;
  readonly shaftSpeedRpm: number;
  /** So much higher it may have been between two rows; 0 where the log has no time. */
  readonly betweenRowsRpm: number;
  readonly timeS: number | null;
  /** null: not logged there. */
  readonly engineSpeedRpm: number | null;
  /** null: none is entered, nor on the map. */
  readonly limitRpm: number | null;
  /** Share of the limit that is to be kept. */
  readonly reserve: number;
}

export interface FittedVePoint {
  readonly engineSpeedRpm: number;
  readonly entered: number;
  readonly value: number;
  /** One, in the curve's unit; before the log it was `priorDeviation`. */
  readonly standardDeviation: number;
  readonly priorDeviation: number;
}

/** What may be off beside the volumetric efficiency. */
export const NUISANCES = [
  'inletLoss',
  'chargeLoss',
  'inletTemperature',
  'coolerEffectiveness',
  'ambientPressure',
  'mapFlow',
  'mapPressureRatio',
  'mapEfficiency',
  'manifoldOffset',
  'manifoldScale',
  'shaftScale',
  'chargeProbe',
  'inletPressureSensor',
  'outletPressureSensor',
  'backPressure',
  'airMassScale',
  'fuelScale',
  'powerScale',
] as const;
export type NuisanceKey = (typeof NUISANCES)[number];

export interface FittedNuisance {
  readonly key: NuisanceKey;
  /** In the unit of its deviation: a share, K, Pa, or points as a share. */
  readonly value: number;
  readonly standardDeviation: number;
  readonly priorDeviation: number;
}

export interface RoadLogFit {
  /** Over the covered engine speeds: rises, linear between its points. Drawn towards the entered curve where the log says little. */
  readonly volumetricEfficiency: readonly FittedVePoint[];
  readonly coveredRpm: readonly [number, number];
  /** Shown, never written by themselves. */
  readonly nuisances: readonly FittedNuisance[];
  /** One standard deviation of the predicted shaft speed, as a share, root mean square over the pull: before and after the log. */
  readonly shaftSpeedDeviation: { readonly before: number; readonly after: number };
}

export type CauseKey = 'volumetricEfficiency' | NuisanceKey;
export type CauseGroupName = 'flow' | 'speed' | 'pressure' | 'cooling' | 'meters';

/** Causes that this log cannot tell apart. */
export interface CauseGroup {
  readonly group: CauseGroupName;
  /** With what each would have to be, in its own unit, were it alone; the prior deviation beside it. No order of likelihood. */
  readonly members: readonly { readonly key: CauseKey; readonly alone: number; readonly priorDeviation: number }[];
  /** Probability against the other groups and against 'nothing is off', from the change of the objective; 0..1. */
  readonly probability: number;
  /** Every member alone would have to be more than three prior deviations off: suspect the sensor first. */
  readonly outside: boolean;
  /** Of `probability` and reach: this group is what to look at. Never said of a member of a larger group. */
  readonly leads: boolean;
  /** A channel that would tell its members apart; null: none of those known. */
  readonly separatedBy: LogChannelKey | null;
}

export interface LogAdvice {
  /** 'zero-gauge': key-on rows with the engine standing. */
  readonly channels: readonly (LogChannelKey | 'zero-gauge')[];
  /** Standard deviation of the volumetric efficiency as a share, root mean square over the covered range. */
  readonly deviationNow: number;
  readonly deviationThen: number;
}

export interface RoadLogResult {
  readonly pulls: readonly RoadLogPull[];
  readonly rows: readonly RoadLogRow[];
  /** null: no pull, no shaft speed or other meter, or the shaft speed is off by more than the car can be. */
  readonly fit: RoadLogFit | null;
  /** Most probable first; none where nothing is off. */
  readonly causes: readonly CauseGroup[];
  readonly warnings: readonly RoadLogWarning[];
  /** The nearer to its limit of the two, where two shafts are logged; null without a shaft speed. */
  readonly highest: ShaftHighest | null;
  readonly blades: BladeVerdict;
  readonly lag: LagFound;
  readonly chargeProbe: ProbeFound;
  readonly gauge: GaugeZero | null;
  readonly meters: readonly MeterComparison[];
  /** null: no second shaft speed, or the build has one turbo. */
  readonly imbalance: LogImbalance | null;
  readonly surge: SurgeSearch;
  /** Best first. */
  readonly whatToLogNext: readonly LogAdvice[];
  /** What the rows rest on: the ambient air used, and where it came from. */
  readonly ambient: Ambient;
  readonly ambientFrom: 'log' | 'options' | 'build';
}

export interface SurgeSearch {
  /** Highest frequency that the logging rate shows, Hz; null: too slow to look, or no time. */
  readonly seesToHz: number | null;
  readonly found: readonly {
    readonly pull: number;
    readonly fromRow: number;
    readonly toRow: number;
    readonly engineSpeedRpm: number;
    readonly frequencyHz: number;
    /** Of ln N. */
    readonly amplitude: number;
  }[];
}

export interface TakenVe {
  readonly curve: Curve;
  /** Two standard deviations, the worst of the covered range, as a share: the tolerance to enter. */
  readonly tolerance: number;
  readonly coveredRpm: readonly [number, number];
}

export interface LogDrift {
  readonly engineSpeedRpm: number;
  /** ln of the later over the earlier log: shaft speed at equal pressure ratio and engine, and volumetric efficiency. null: not in both. */
  readonly shaftSpeed: number;
  readonly shaftSpeedDeviation: number;
  readonly volumetricEfficiency: number | null;
  readonly volumetricEfficiencyDeviation: number | null;
  /** Either differs by more than two of its deviations. */
  readonly drifted: boolean;
}
