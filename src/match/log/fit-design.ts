import { dryMassFraction } from '../../air/index.ts';
import { FUELS } from '../../engine/index.ts';
import { evaluateCurve } from '../../numerics/index.ts';
import type { CarPath, PathState, RowReadings } from './car-path.ts';
import { NO_READINGS } from './car-path.ts';
import type { WorkRow } from './log-rows.ts';
import type { MeteredRow } from './metered-rows.ts';
import type { NuisanceKey } from './result-types.ts';
import type { Priors } from './row-bands.ts';

/** What a fit compares, of what is logged: logarithms, but K and Pa for stations. */
export const OBSERVED = ['shaft', 'charge', 'inletPressure', 'outletPressure', 'airMass', 'fuel', 'power'] as const;
export type Observed = (typeof OBSERVED)[number];

/** Rows that lie together in engine speed and pressures, as one. */
export interface FitBin {
  /** The first of the pulls that it is made of. */
  readonly pull: number;
  readonly readings: RowReadings;
  readonly engineSpeedRpm: number;
  readonly rangeRpm: readonly [number, number];
  /** Observed less predicted with what is entered, and its standard deviation by noise and by what the model cannot follow. */
  readonly seen: Partial<Record<Observed, { residual: number; deviation: number }>>;
}

const BIN_RPM = 250;
const LEAST_ROWS = 2;
export const KNOT_RPM = 500;

/**
 * What the path cannot follow, one standard deviation, alike in every pull at an engine speed: the map's own misfit of speed (its fit passes
 * the entered points to 0.3 %), a cooler of one effectiveness, losses as squares of the flow, and what meters scatter from bin to bin.
 */
const MISFIT: Readonly<Record<Observed, number>> = {
  shaft: 0.0012,
  charge: 1,
  inletPressure: 100,
  outletPressure: 300,
  airMass: 0.005,
  fuel: 0.005,
  power: 0.007,
};
/** Of one row, where the shaft's is known from the log itself. */
export const ROW_NOISE: Readonly<Record<Exclude<Observed, 'shaft' | 'charge'>, number>> = {
  inletPressure: 200,
  outletPressure: 500,
  airMass: 0.01,
  fuel: 0.01,
  power: 0.01,
};

/** What the model says, by observation; null where the path has no answer. */
export type Outputs = Readonly<Record<Observed, number>>;

export function outputsOf(path: CarPath, readings: RowReadings, veFactor: number): Outputs | null {
  const state = path.predict(readings, veFactor);
  return (
    state && {
      shaft: Math.log(state.shaftSpeedRpm),
      charge: state.cooledTemperatureK,
      inletPressure: state.inletPressureByLossPa,
      outletPressure: state.outletPressureByLossPa,
      airMass: Math.log(state.airMassFlowKgPerS),
      fuel: Math.log(state.engineFlowKgPerS),
      power: Math.log(state.engineFlowKgPerS),
    }
  );
}

/** Air of a turbo's share of the engine by a meter of a row, kg/s; NaN where it has none. Fuel goes with the logged lambda, power with the row's own lambda and bsfc, else the entered ones. */
export function meterFlow(
  path: CarPath,
  row: Pick<WorkRow, 'readings' | 'meters'>,
  meter: 'airMass' | 'fuel' | 'power',
): number {
  const { input, turbos } = path.line;
  const n = row.readings.engineSpeedRpm;
  const dry = dryMassFraction(input.ambient.vapourMoleFraction) ?? 1;
  const stoichiometric = FUELS[input.engine.fuel].stoichiometricAirFuelRatio;
  if (meter === 'airMass') return row.meters.airMass / turbos;
  if (meter === 'fuel') return (row.meters.fuel * row.meters.lambda * stoichiometric) / dry / turbos;
  const lambda = Number.isNaN(row.meters.lambda)
    ? (evaluateCurve(input.engine.lambda, n) ?? Number.NaN)
    : row.meters.lambda;
  const bsfc = row.meters.bsfc ?? evaluateCurve(input.engine.bsfcKgPerJ, n) ?? Number.NaN;
  return (row.meters.power * bsfc * lambda * stoichiometric) / dry / turbos;
}

function observedResidual(path: CarPath, row: MeteredRow, kind: Observed, at: PathState): number {
  const { readings } = row;
  switch (kind) {
    case 'shaft':
      return Math.log(readings.shaftSpeedRpm / at.shaftSpeedRpm);
    case 'charge':
      return readings.chargeTemperatureK - at.cooledTemperatureK;
    case 'inletPressure':
      return readings.inletPressurePa - at.inletPressureByLossPa;
    case 'outletPressure':
      return readings.outletPressurePa - at.outletPressureByLossPa;
    case 'airMass':
      return Math.log(meterFlow(path, row, 'airMass') / at.airMassFlowKgPerS);
    default:
      return Math.log(meterFlow(path, row, kind) / at.engineFlowKgPerS);
  }
}

/** Manifold and ambient pressure within which rows of several pulls are one, Pa. */
const ALIKE_PA = { manifold: 20_000, ambient: 3000 };

/** Bins of the used rows, 250 rpm wide; pulls at like pressures are taken together. */
export function fitBins(path: CarPath, rows: readonly MeteredRow[]): FitBin[] {
  const groups = new Map<string, MeteredRow[]>();
  const atSpeed = new Map<number, Set<string>>();
  for (const row of rows) {
    if (!row.used || row.predicted === null) continue;
    const { engineSpeedRpm, manifoldPressurePa, ambientPressurePa } = row.readings;
    const bin = Math.round(engineSpeedRpm / BIN_RPM);
    const place = `${Math.round(manifoldPressurePa / ALIKE_PA.manifold)} ${Math.round(ambientPressurePa / ALIKE_PA.ambient)}`;
    const name = `${bin} ${place}`;
    groups.set(name, [...(groups.get(name) ?? []), row]);
    atSpeed.set(bin, (atSpeed.get(bin) ?? new Set()).add(place));
  }
  return [...groups.values()].flatMap((group) => {
    if (group.length < LEAST_ROWS) return [];
    const readings = meanReadings(group);
    const repeats = atSpeed.get(Math.round(group[0]!.readings.engineSpeedRpm / BIN_RPM))?.size ?? 1;
    const slopes = localSlopes(path, readings);
    if (slopes === null) return [];
    const seen: FitBin['seen'] = {};
    for (const kind of OBSERVED) {
      const residuals = group.map((row) => observedResidual(path, row, kind, row.predicted!)).filter(Number.isFinite);
      if (residuals.length === 0) continue;
      const deviation = Math.hypot(
        rowDeviation(kind, group, slopes) / Math.sqrt(residuals.length),
        // What the model cannot follow is the same every time: more rows or pulls do not average it away.
        MISFIT[kind] * Math.sqrt(repeats),
        kind === 'shaft' ? doubtOf(group) * Math.abs(slopes.perVe) : 0,
      );
      seen[kind] = { residual: residuals.reduce((sum, r) => sum + r, 0) / residuals.length, deviation };
    }
    if (Object.keys(seen).length === 0) return [];
    const speeds = group.map((row) => row.readings.engineSpeedRpm);
    const rangeRpm = [Math.min(...speeds), Math.max(...speeds)] as const;
    return [{ pull: group[0]!.pull, readings, engineSpeedRpm: readings.engineSpeedRpm, rangeRpm, seen }];
  });
}

function meanReadings(group: readonly MeteredRow[]): RowReadings {
  const mean = (key: keyof RowReadings) => {
    const known = group.map((row) => row.readings[key]).filter((x) => !Number.isNaN(x));
    return known.length === 0 ? Number.NaN : known.reduce((sum, x) => sum + x, 0) / known.length;
  };
  const keys = Object.keys(NO_READINGS) as (keyof RowReadings)[];
  return Object.fromEntries(keys.map((key) => [key, mean(key)])) as RowReadings;
}

/** Of ln N at a bin: over ln VE, and over one Pa of manifold pressure. */
function localSlopes(path: CarPath, readings: RowReadings): { perVe: number; perPa: number } | null {
  const at = (pa: number, factor: number) =>
    path.predict({ ...readings, manifoldPressurePa: readings.manifoldPressurePa + pa }, factor)?.shaftSpeedRpm;
  const [here, more, higher] = [at(0, 1), at(0, 1.005), at(500, 1)];
  if (here === undefined || more === undefined || higher === undefined) return null;
  return { perVe: Math.log(more / here) / Math.log(1.005), perPa: Math.log(higher / here) / 500 };
}

function rowDeviation(kind: Observed, group: readonly MeteredRow[], slopes: { perVe: number; perPa: number }): number {
  const { noise, readings } = group[0]!;
  if (kind === 'charge') return noise.chargeK;
  if (kind !== 'shaft') return ROW_NOISE[kind];
  const charge = Number.isNaN(readings.chargeTemperatureK) ? 0 : noise.chargeK / readings.chargeTemperatureK;
  return Math.hypot(noise.shaft, noise.manifoldPa * slopes.perPa, charge * slopes.perVe);
}

/** Share by which the flow of a bin is in doubt beside its noise: half of a larger filling, and a probe that may lag. */
function doubtOf(group: readonly MeteredRow[]): number {
  const mean = (of: (row: MeteredRow) => number) => group.reduce((sum, row) => sum + of(row), 0) / group.length;
  return Math.hypot(
    mean((row) => (Math.abs(row.fillingShare) > 0.02 ? 0.5 * Math.abs(row.fillingShare) : 0)),
    mean((row) => row.probeDoubtK / (row.readings.chargeTemperatureK || 330)),
  );
}

/** Unknowns of the fit: ln VE at knots, then what else may be off. */
export interface Unknowns {
  readonly knotsRpm: readonly number[];
  readonly keys: readonly NuisanceKey[];
}

export function unknownsOf(bins: readonly FitBin[], priors: Priors): Unknowns {
  const speeds = bins.map((bin) => bin.engineSpeedRpm);
  const first = Math.floor(Math.min(...speeds) / KNOT_RPM);
  const last = Math.max(first + 1, Math.ceil(Math.max(...speeds) / KNOT_RPM));
  const keys = (Object.keys(priors) as NuisanceKey[]).filter((key) => priors[key] > 0);
  return { knotsRpm: Array.from({ length: last - first + 1 }, (_, i) => (first + i) * KNOT_RPM), keys };
}

/** Weights of the knots at an engine speed: linear between them, constant outside. */
export function knotWeights({ knotsRpm }: Unknowns, engineSpeedRpm: number): number[] {
  const at = Math.max(0, Math.min(knotsRpm.length - 1, (engineSpeedRpm - knotsRpm[0]!) / KNOT_RPM));
  return knotsRpm.map((_, i) => Math.max(0, 1 - Math.abs(i - at)));
}

/** Which of the scales a meter reads with, and what a sensor that is also an input adds to its own observation. */
const OWN: Readonly<Partial<Record<NuisanceKey, readonly [kind: Observed, factor: number]>>> = {
  airMassScale: ['airMass', 1],
  fuelScale: ['fuel', 1],
  powerScale: ['power', 1],
  chargeProbe: ['charge', -1],
  inletPressureSensor: ['inletPressure', -1],
  outletPressureSensor: ['outletPressure', -1],
};

export interface BinModel {
  readonly at: Outputs;
  /** Derivatives of each output by each unknown. */
  readonly slopes: readonly Outputs[];
}

/** The model and its derivatives at a bin; null where the path has no answer to one of them. */
export function binModel(
  path: CarPath,
  unknowns: Unknowns,
  priors: Priors,
  bin: FitBin,
  theta: readonly number[],
): BinModel | null {
  const weights = knotWeights(unknowns, bin.engineSpeedRpm);
  const knots = unknowns.knotsRpm.length;
  const logVe = weights.reduce((sum, w, i) => sum + w * theta[i]!, 0);
  const biases = Object.fromEntries(unknowns.keys.map((key, i) => [key, theta[knots + i]!]));
  const outputs = (change: Partial<Record<NuisanceKey, number>>, dLogVe: number): Outputs | null => {
    const bias: Partial<Record<NuisanceKey, number>> = { ...biases };
    for (const key of Object.keys(change) as NuisanceKey[]) bias[key] = (bias[key] ?? 0) + change[key]!;
    const made = outputsOf(path.biased(bias), bin.readings, Math.exp(logVe + dLogVe));
    if (made === null) return null;
    const own: Record<Observed, number> = { ...made };
    for (const [key, [kind, factor]] of Object.entries(OWN) as [NuisanceKey, [Observed, number]][])
      own[kind] += factor * (bias[key] ?? 0);
    return own;
  };
  const at = outputs({}, 0);
  const byVe = outputs({}, 0.005);
  if (at === null || byVe === null) return null;
  const slope = (moved: Outputs, step: number, weight = 1) =>
    Object.fromEntries(OBSERVED.map((kind) => [kind, (weight * (moved[kind] - at[kind])) / step])) as Record<
      Observed,
      number
    >;
  const slopes = weights.map((weight) => slope(byVe, 0.005, weight));
  for (const key of unknowns.keys) {
    const step = 0.5 * priors[key];
    const moved = outputs({ [key]: step }, 0);
    if (moved === null) return null;
    slopes.push(slope(moved, step));
  }
  return { at, slopes };
}
