import { evaluateCurve } from '../../numerics/index.ts';
import type { Curve } from '../../numerics/types.ts';
import { USUAL_TOLERANCES } from '../studies/samples.ts';
import type { Tolerances } from '../studies/types.ts';
import type { Ambient, MatchInput } from '../types.ts';
import { CarPath, NO_READINGS, type PathState, type RowReadings } from './car-path.ts';
import { meterFlow, ROW_NOISE } from './fit-design.ts';
import { vePriors } from './joint-fit.ts';
import { toBrakePower, USUAL_NOISE } from './log-rows.ts';
import type { FittedVePoint, NuisanceKey, RoadLogFit, RoadLogOptions, TakenVe } from './result-types.ts';
import { type Instrument, type Priors, priorsOf } from './row-bands.ts';

/** One reading outside a log, SI. */
export interface KnownVeReading {
  engineSpeedRpm: number;
  /** W as the dynamometer's sheet has it, or kg/s of air into the whole engine. */
  reading: number;
  /** Absolute. */
  manifoldPressurePa: number;
  /** undefined: by the cooler as entered. */
  chargeTemperatureK?: number | undefined;
  /** For power alone; undefined: the entered curve. */
  lambda?: number | undefined;
  bsfcKgPerJ?: number | undefined;
}

/** A run on the dynamometer, or readings of an air-mass sensor, in air of its own. */
export interface KnownVeRun {
  meter: 'power' | 'air-mass';
  readings: readonly KnownVeReading[];
  ambient: Ambient;
  /** What a power is; see RoadLogOptions. */
  power: NonNullable<RoadLogOptions['power']>;
}

/** 'off-map': the map has no answer to this flow and pressure, and without one neither back-pressure nor a charge temperature is known. */
export type KnownVeRow = { readonly engineSpeedRpm: number } & (
  | { readonly status: 'off-map' }
  | {
      readonly status: 'ok';
      /** Of the build: referred to the back-pressure at which the entered curve was measured. */
      readonly volumetricEfficiency: number;
      /** As the engine breathed, its back-pressure in it. */
      readonly asRun: number;
      readonly entered: number;
      /** One, of volumetricEfficiency: what scatters, and what is common to the rows. */
      readonly randomDeviation: number;
      readonly systematicDeviation: number;
      /** Of the whole engine, kg/s, moist. */
      readonly airMassFlowKgPerS: number;
      /** Measured power over that of the sheet: its correction and the driveline undone. 1 for a sensor. */
      readonly powerFactor: number;
    }
);

export interface KnownVe {
  /** In the order of the readings. */
  readonly rows: readonly KnownVeRow[];
  /** What can be taken, as of a log's fit; null: no row has an answer. */
  readonly fit: { volumetricEfficiency: readonly FittedVePoint[]; coveredRpm: readonly [number, number] } | null;
}

/** Rows that lie together are one point of the curve, as in a log. */
const BIN_RPM = 250;

/**
 * Volumetric efficiency from what is known outside a log: each row by itself, none drawn towards the entered curve.
 * Dry air is power x bsfc x lambda x stoichiometric air/fuel ratio, the sheet's correction and the driveline's loss undone first; or the
 * sensor's reading. VE = W R T_m/(share p_m V_d n/120), over what the back-pressure does to it (`breathingFactor`), as the log's.
 *
 * The band of a row: its readings' scatter (1 % of the meter, 0.7 kPa, 1 K) and, common to all rows, the meter (power with bsfc and lambda
 * 5.5 %: 3 (+) 4 (+) 2 %; a sensor 3 %; common practice, no source), the manifold pressure's gauge, and what is entered on the way to
 * back-pressure and charge temperature, each moved by one standard deviation.
 *
 * @param input the car as entered, SI
 * @param tolerances of the build; left out: the usual ones
 * @returns a row for each reading, and null in place of what can be taken where no row has an answer
 */
export function knownVolumetricEfficiency(
  input: MatchInput,
  run: KnownVeRun,
  tolerances: Tolerances = USUAL_TOLERANCES,
): KnownVe {
  const path = CarPath.of(input, run.ambient, 0);
  if (path === null) return { rows: run.readings.map(offMap), fit: null };
  const rows = run.readings.map((reading) => rowOf(path, run, reading, tolerances));
  const { common, shape } = vePriors(tolerances);
  return { rows, fit: fitOf(input, rows, Math.hypot(common, shape)) };
}

const offMap = ({ engineSpeedRpm }: KnownVeReading): KnownVeRow => ({ engineSpeedRpm, status: 'off-map' });

function rowOf(path: CarPath, run: KnownVeRun, reading: KnownVeReading, tolerances: Tolerances): KnownVeRow {
  const { input, turbos } = path.line;
  const { meter, ambient } = run;
  const channel = meter === 'power' ? 'power' : 'airMass';
  const powerFactor =
    meter === 'power'
      ? toBrakePower(run, input.engine.drivelineLoss, ambient.pressurePa, ambient.temperatureK, ambient)
      : 1;
  const readings = readingsOf(reading, ambient);
  const { reading: read, lambda, bsfcKgPerJ } = reading;
  const flow = meterFlow(
    path,
    {
      readings,
      meters: {
        airMass: read,
        power: read * powerFactor,
        fuel: Number.NaN,
        lambda: lambda ?? Number.NaN,
        ...(bsfcKgPerJ !== undefined && { bsfc: bsfcKgPerJ }),
      },
    },
    channel,
  );
  const state = breathedAt(path, readings, flow);
  const entered = evaluateCurve(input.engine.volumetricEfficiency, reading.engineSpeedRpm);
  if (state === null || entered === null || !(state.veRatio > 0)) return offMap(reading);
  const volumetricEfficiency = entered * state.veRatio;
  const instruments = new Set<Instrument>([
    meter === 'power' ? 'brakePower' : 'airMassFlow',
    ...(reading.chargeTemperatureK === undefined ? [] : (['chargeTemperature'] as const)),
  ]);
  const priors = priorsOf(tolerances, instruments, input.turbine !== undefined);
  const scale = priors[`${channel}Scale`];
  const common = Math.hypot(scale, ...answers(path, readings, flow, state.veRatio, priors));
  const scatter = Math.hypot(
    ROW_NOISE[channel],
    USUAL_NOISE.manifoldPa / reading.manifoldPressurePa,
    reading.chargeTemperatureK === undefined ? 0 : USUAL_NOISE.chargeK / reading.chargeTemperatureK,
  );
  return {
    status: 'ok',
    engineSpeedRpm: reading.engineSpeedRpm,
    volumetricEfficiency,
    asRun: volumetricEfficiency * state.breathingFactor,
    entered,
    randomDeviation: volumetricEfficiency * scatter,
    systematicDeviation: volumetricEfficiency * common,
    airMassFlowKgPerS: flow * turbos,
    powerFactor,
  };
}

function readingsOf(reading: KnownVeReading, { pressurePa, temperatureK }: Ambient): RowReadings {
  return {
    ...NO_READINGS,
    engineSpeedRpm: reading.engineSpeedRpm,
    manifoldPressurePa: reading.manifoldPressurePa,
    ambientPressurePa: pressurePa,
    ambientTemperatureK: temperatureK,
    chargeTemperatureK: reading.chargeTemperatureK ?? Number.NaN,
  };
}

/** Without a turbine, and with the charge's temperature read, the map is not needed. */
function breathedAt(
  path: CarPath,
  row: RowReadings,
  flow: number,
): Pick<PathState, 'veRatio' | 'breathingFactor'> | null {
  const state = path.stateAt(row, flow);
  if (state !== null || path.line.input.turbine !== undefined || Number.isNaN(row.chargeTemperatureK)) return state;
  const speed = path.speedAt(row.engineSpeedRpm);
  if (speed === null) return null;
  const veRatio = (flow * row.chargeTemperatureK) / (speed.breathing * path.manifoldPressure(row));
  return { veRatio, breathingFactor: 1 };
}

/** Changes of ln VE by one standard deviation of each thing that may be off on the way. */
function answers(path: CarPath, row: RowReadings, flow: number, veRatio: number, priors: Priors): number[] {
  const keys = (Object.keys(priors) as NuisanceKey[]).filter((key) => priors[key] > 0);
  return keys.map((key) => {
    const at = (sign: 1 | -1) => breathedAt(path.biased({ [key]: sign * priors[key] }), row, flow)?.veRatio;
    // At the edge of the map one side may have no answer.
    const moved = at(1) ?? at(-1) ?? veRatio;
    return Math.log(moved / veRatio);
  });
}

type Answered = Extract<KnownVeRow, { status: 'ok' }>;

/**
 * Points of the curve to take: rows within 250 rpm as one, and between them the entered curve's own points, moved as their neighbours are, so
 * that its shape is kept where nothing was read.
 */
function fitOf(input: MatchInput, rows: readonly KnownVeRow[], priorDeviation: number): KnownVe['fit'] {
  const bins = new Map<number, Answered[]>();
  for (const row of rows) {
    if (row.status !== 'ok') continue;
    const bin = Math.round(row.engineSpeedRpm / BIN_RPM);
    bins.set(bin, [...(bins.get(bin) ?? []), row]);
  }
  const points = [...bins.values()].map(pointOf).sort((a, b) => a.engineSpeedRpm - b.engineSpeedRpm);
  const [first, last] = [points[0], points.at(-1)];
  if (first === undefined || last === undefined) return null;
  const entered = input.engine.volumetricEfficiency;
  const own = entered
    .map(({ engineSpeedRpm }) => engineSpeedRpm)
    .filter((n) => n > first.engineSpeedRpm && n < last.engineSpeedRpm);
  const speeds = [...new Set([...points.map(({ engineSpeedRpm }) => engineSpeedRpm), ...own])].sort((a, b) => a - b);
  const between = (n: number, of: (point: (typeof points)[number]) => number) =>
    evaluateCurve(
      points.map((point) => ({ engineSpeedRpm: point.engineSpeedRpm, value: of(point) })),
      n,
    )!;
  const volumetricEfficiency = speeds.map((engineSpeedRpm) => {
    const known = evaluateCurve(entered, engineSpeedRpm)!;
    const value = known * Math.exp(between(engineSpeedRpm, ({ logRatio }) => logRatio));
    return {
      engineSpeedRpm,
      entered: known,
      value,
      standardDeviation: value * between(engineSpeedRpm, ({ deviation }) => deviation),
      priorDeviation: known * priorDeviation,
    };
  });
  return { volumetricEfficiency, coveredRpm: [first.engineSpeedRpm, last.engineSpeedRpm] };
}

/** Rows that lie together, as one: shares of the entered curve; only what scatters is averaged away. */
function pointOf(rows: readonly Answered[]) {
  const mean = (of: (row: Answered) => number) => rows.reduce((sum, row) => sum + of(row), 0) / rows.length;
  const random = mean((row) => row.randomDeviation / row.volumetricEfficiency) / Math.sqrt(rows.length);
  const systematic = mean((row) => row.systematicDeviation / row.volumetricEfficiency);
  return {
    engineSpeedRpm: mean((row) => row.engineSpeedRpm),
    logRatio: mean((row) => Math.log(row.volumetricEfficiency / row.entered)),
    deviation: Math.hypot(random, systematic),
  };
}

/** The taken part meets the entered curve within this of its ends, rpm. */
const JOIN_RPM = 250;

/**
 * The entered curve with the fit's in its covered range: rows outside stay, and within 250 rpm of the range both are joined. The fit is of the
 * entered curve's own kind, referred to the back-pressure at which that was measured, so nothing is corrected twice where it is entered.
 *
 * @param entered volumetric efficiency over engine speed, at least one point
 * @returns the curve, and the tolerance that goes with it: two standard deviations, the worst of the range, as a share
 */
export function takeVolumetricEfficiency(
  entered: Curve,
  fit: Pick<RoadLogFit, 'volumetricEfficiency' | 'coveredRpm'>,
): TakenVe {
  const [from, to] = fit.coveredRpm;
  const taken = fit.volumetricEfficiency;
  const [first, last] = [taken[0]!, taken[taken.length - 1]!];
  const [joinFrom, joinTo] = [from - JOIN_RPM, to + JOIN_RPM];
  const at = (n: number) => evaluateCurve(entered, n) ?? Number.NaN;
  // Outside the range the entered curve, raised by what the fit raises it at the range's end, and that runs out.
  const joined = (n: number, end: FittedVePoint) => {
    const share = Math.max(0, 1 - Math.abs(n - end.engineSpeedRpm) / JOIN_RPM);
    return { engineSpeedRpm: n, value: at(n) * (end.value / end.entered) ** share };
  };
  const speeds = [...entered.map((point) => point.engineSpeedRpm), joinTo, ...(joinFrom > 0 ? [joinFrom] : [])];
  const below = speeds.filter((n) => n < from).map((n) => joined(n, first));
  const above = speeds.filter((n) => n > to).map((n) => joined(n, last));
  const inside = taken.map(({ engineSpeedRpm, value }) => ({ engineSpeedRpm, value }));
  const unique = new Map([...below, ...inside, ...above].map((point) => [point.engineSpeedRpm, point]));
  const curve = [...unique.values()].sort((a, b) => a.engineSpeedRpm - b.engineSpeedRpm);
  const tolerance = 2 * Math.max(...fit.volumetricEfficiency.map((point) => point.standardDeviation / point.value));
  return { curve, tolerance, coveredRpm: fit.coveredRpm };
}
