import type { LimitKey, StudyLimits } from '../limits.ts';
import type { Ambient, Goal, NoPointReason, OperatingPoint, OperatingPointSolved } from '../types.ts';

/** Somewhere the car is driven: its air, with the altitude where one is known (a saved weather may have none). */
export interface Place {
  name: string;
  altitudeM: number | null;
  ambient: Ambient;
}

/**
 * How the air temperature goes up the mountain.
 * 'standard': that of the standard atmosphere. 'deviation-held': standard plus the day's deviation from standard, the same at every
 * altitude. 'same': one temperature everywhere, for example the hottest day that the shop plans for.
 */
export type PlaceTemperature =
  | { kind: 'standard' }
  | { kind: 'deviation-held'; deviationK: number }
  | { kind: 'same'; temperatureK: number };

/** How air is made for an altitude. Relative humidity is the same at every altitude. */
export interface PlaceRule {
  temperature: PlaceTemperature;
  /** 0..1 */
  relativeHumidity: number;
  /** The day's pressure reduced to sea level, carried up by the altimeter relation; left out: the standard atmosphere. */
  seaLevelPressurePa?: number | undefined;
}

export type PlaceResult = { ok: true; place: Place } | { ok: false; message: string };

/** What stands in the way: a limit, or the reason why there is no operating point at all (the map ends, above all). */
export type BindingLimit = LimitKey | NoPointReason;

export interface CeilingFound {
  engineSpeedRpm: number;
  status: 'ok';
  /** Highest manifold pressure at which every limit holds, absolute. Every limit holds there; a little above one does not. */
  manifoldPressurePa: number;
  /** The same against the ambient pressure of the place. */
  gaugeBoostPa: number;
  binding: BindingLimit;
  /** The operating point at the ceiling. */
  point: OperatingPointSolved;
}

export interface CeilingMissing {
  engineSpeedRpm: number;
  /** 'none-holds': at no boost do all limits hold. 'bad-input': a number is missing or impossible; message names it. */
  status: 'none-holds' | 'bad-input';
  /** What stands in the way where the limits are nearest to holding. */
  binding: BindingLimit;
  /** Plain words, one sentence. */
  message: string;
}

export type Ceiling = CeilingFound | CeilingMissing;

/** The boost that an open wastegate leaves, Pa absolute; 'none': it leaves none; null: not known, since the map has no answer. */
export type LeftByOpenGate = number | 'none' | null;

/** What is known at places and engine speeds: `cells[place][engine speed]`. */
interface StudyGrid<Cell> {
  places: readonly Place[];
  engineSpeedsRpm: readonly number[];
  cells: readonly (readonly Cell[])[];
}

export interface CeilingTable extends StudyGrid<Ceiling> {
  limits: StudyLimits;
}

/** A goal held at one place and engine speed. */
export interface HeldCell {
  point: OperatingPoint;
  /** The limit crossed there (the worst one), or why there is no point; null: every limit holds. */
  crossed: BindingLimit | null;
}

/** Altitude at which holding a goal first crosses a limit, at one engine speed. */
export interface AltitudeCrossing {
  engineSpeedRpm: number;
  /** 'crossed': at altitudeM. 'from-lowest': already at the lowest altitude looked at. 'holds': nowhere up to the highest. */
  status: 'crossed' | 'from-lowest' | 'holds';
  /** null where nothing is crossed. */
  altitudeM: number | null;
  limit: BindingLimit | null;
  /** What is crossed is a surge line or choke end below the lowest speed line of the map: a guess, and no verdict on how far up the car can go. */
  isGuess: boolean;
  /** Altitudes between which every limit holds, rising. */
  holdsBetweenM: readonly (readonly [number, number])[];
}

export interface HeldGoal extends StudyGrid<HeldCell> {
  goal: Goal;
  limits: StudyLimits;
  /** One for each engine speed; none when no altitude range was asked for. */
  crossings: readonly AltitudeCrossing[];
  /** The lowest of the crossings: where the car first meets a limit. null: it does not. */
  firstCrossing: AltitudeCrossing | null;
}

/** How far up to look for the altitude at which a limit is crossed. */
export interface AltitudeRange {
  rule: PlaceRule;
  fromM: number;
  toM: number;
}

export interface HoldOptions {
  places: readonly Place[];
  /** Left out: those of the input. */
  engineSpeedsRpm?: readonly number[] | undefined;
  /** Left out: those of the input. */
  limits?: StudyLimits | undefined;
  /** Left out: no crossings are looked for. */
  altitude?: AltitudeRange | undefined;
}

/** The same target at the first place, held in two ways over the places. */
export interface ControllerComparison {
  /** Engine speeds that have a target. */
  engineSpeedsRpm: readonly number[];
  /** Absolute manifold pressure at the first place, one an engine speed. */
  targetManifoldPressurePa: readonly number[];
  /** Engine speeds of which the goal has no point at the first place; they are in nothing else here. */
  withoutTargetRpm: readonly number[];
  /** The controller holds manifold pressure over ambient: absolute pressure falls with altitude, and power with it. */
  gauge: HeldGoal;
  /** The controller holds absolute manifold pressure: power stays, the compressor works harder. */
  absolute: HeldGoal;
}

export interface CalibrationOptions {
  kind: 'gauge' | 'absolute';
  /** Grid of the table in Pa, for example 1000 for 0.01 bar. Pressures are rounded down to a whole number of steps. */
  stepPa: number;
  /** Blades that pass the sensor in one turn of the shaft. */
  bladesPastSensor: number;
}

/** A pressure in whole steps: `steps` times the caller's step, so that it can be printed without rounding again. */
export interface SteppedPressure {
  steps: number;
  pressurePa: number;
}

export interface CalibrationShaft {
  shaftSpeedRpm: number;
  /** Hz: N/60 times the blades that pass the sensor. */
  pickupFrequencyHz: number;
  wheelPowerW: number;
}

export interface CalibrationCell {
  engineSpeedRpm: number;
  /** The ceiling, rounded down. null where none holds, or no whole step lies where every limit holds. */
  allowed: SteppedPressure | null;
  /** There is a ceiling, but the next step below it crosses a limit from the other side. */
  noStepHolds: boolean;
  binding: BindingLimit;
  /** The goal, or the ceiling where that is lower, rounded down. null where nothing is allowed or there is no goal. */
  target: SteppedPressure | null;
  /** The goal lies over the ceiling. */
  goalOverCeiling: boolean;
  /**
   * The limit that holding the goal crosses here, from either side (a goal under the ceiling may be left of surge); null: none, or no goal.
   */
  goalCrosses: BindingLimit | null;
  /** What to expect with the goal held; null where the goal has no point. */
  atGoal: CalibrationShaft | null;
  /** What to expect at the ceiling before rounding: never less than at the rounded pressure. */
  atCeiling: CalibrationShaft | null;
}

export interface CalibrationTable extends StudyGrid<CalibrationCell> {
  options: CalibrationOptions;
}

export type ToleranceKey =
  | 'volumetricEfficiency'
  | 'bsfc'
  | 'lambda'
  | 'mapFlow'
  | 'mapPressureRatio'
  | 'mapEfficiency'
  | 'coolerEffectiveness'
  | 'airTemperature'
  | 'ambientPressure'
  | 'inletLoss'
  | 'chargeLoss'
  | 'turbineCapacity'
  | 'turbineEfficiency'
  | 'turbineInletTemperature'
  | 'exhaustLoss'
  | 'gateFlow';

/** Half width of the band that holds 19 of 20 (two standard deviations), in the kind's SI unit; 0: exactly known. */
export type Tolerances = Readonly<Record<ToleranceKey, number>>;

/** What a spread reports a band of. SI; margins as shares. */
export type SpreadOutput =
  | 'shaftSpeedRpm'
  | 'airMassFlowKgPerS'
  | 'correctedMassFlowKgPerS'
  | 'pressureRatio'
  | 'manifoldPressurePa'
  | 'compressorOutletTemperatureK'
  | 'brakePowerW'
  | 'speedMargin'
  | 'surgeMargin'
  | 'chokeMargin'
  | 'turbineInletPressurePa'
  | 'backPressureRatio'
  | 'wastegateShare';

/** 80 of 100 samples lie between p10 and p90. */
export interface Band {
  p10: number;
  p50: number;
  p90: number;
}

/** How much one tolerance moves one result. */
export interface Influence {
  key: ToleranceKey;
  /** First-order share of the variance, 0..1; over all keys they add up to 1 less what only combinations of inputs explain. */
  share: number;
  /** Change of the result when the input goes up by its whole tolerance, in the result's unit; over a kink the mean of up and down. */
  effect: number;
}

export interface UnsolvedCount {
  reason: NoPointReason;
  samples: number;
}

export interface SpreadAtSpeed {
  engineSpeedRpm: number;
  /** The point without any tolerance. */
  nominal: OperatingPoint;
  /** Over the solved samples; null where fewer than ten have the value. */
  bands: Readonly<Record<SpreadOutput, Band | null>>;
  solved: number;
  /** Samples without a point, by reason; they are in no band. */
  unsolved: readonly UnsolvedCount[];
  /** Share of all samples that cross a limit or leave the map. A sample that needs no compressor crosses nothing. */
  crossedShare: number;
  /** The same by limit: a sample may cross several. */
  crossedBy: readonly { limit: BindingLimit; share: number }[];
  /** Worst first; none where the output has no band. */
  influences: Readonly<Partial<Record<SpreadOutput, readonly Influence[]>>>;
}

export interface SpreadCeiling {
  engineSpeedRpm: number;
  nominal: Ceiling;
  /** Absolute manifold pressure; null where fewer than ten samples have a ceiling. */
  band: Band | null;
  /** Samples that were asked for a ceiling, and those of them at which no boost holds every limit. */
  samples: number;
  noneHolds: number;
  influences: readonly Influence[];
}

export interface SpreadDone {
  status: 'done';
  samples: number;
  seed: number;
  tolerances: Tolerances;
  limits: StudyLimits;
  atSpeeds: readonly SpreadAtSpeed[];
  /** At the place of the input itself; empty when ceilings were not asked for. */
  ceilings: readonly SpreadCeiling[];
  /** Mean of the shares over the engine speeds, weighted by variance: which input matters most for the line as a whole. */
  influences: Readonly<Record<SpreadOutput | 'ceilingPa', readonly Influence[]>>;
}

export type Spread =
  | SpreadDone
  | { status: 'cancelled'; samplesDone: number }
  | { status: 'bad-input'; message: string };

export interface SpreadOptions {
  /** 64..65536; powers of two are the most even. Default 1024. */
  samples?: number | undefined;
  /** Whole number. Default 1. The same seed gives the same numbers. */
  seed?: number | undefined;
  /** Default: 15 spread evenly over those of the input. */
  engineSpeedsRpm?: readonly number[] | undefined;
  limits?: StudyLimits | undefined;
  /** How many of the samples also look for the ceiling; 0: none. Default: half of the samples. */
  ceilingSamples?: number | undefined;
  /** Called now and then with the share done, 0..1. */
  onProgress?: ((share: number) => void) | undefined;
  /** Asked now and then; true ends the work with 'cancelled'. */
  isCancelled?: (() => boolean) | undefined;
}
