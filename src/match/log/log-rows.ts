import { powerCorrectionFactor } from '../../engine/index.ts';
import type { Ambient } from '../types.ts';
import type { PathState, RowReadings } from './car-path.ts';
import { type LogFrame, noiseOf, slopes } from './log-frame.ts';
import type { RoadLogOptions, RoadLogPull } from './result-types.ts';
import type { RowNoise } from './row-bands.ts';
import type { LogChannelKey } from './types.ts';

/** Of the whole engine, SI: air and fuel in kg/s, power at the crankshaft as it was in the row's own air; bsfc in kg/J. NaN: none. */
export interface MeterReadings {
  airMass: number;
  fuel: number;
  power: number;
  lambda: number;
  /** Left out: the entered one. */
  bsfc?: number;
}

/** A row on its way through the computation. */
export interface WorkRow {
  readonly row: number;
  readonly pull: number;
  readonly timeS: number | null;
  readonly readings: RowReadings;
  readonly noise: RowNoise;
  /** SPIKE and PEGGED of the frame. */
  readonly lost: number;
  /** Of ln N, per second; NaN without time. */
  shaftRate: number;
  /** Of the charge temperature as read, K/s; NaN without time or probe. */
  readonly chargeRateKPerS: number;
  /** What the charge-temperature probe may still be behind, K. */
  readonly probeDoubtK: number;
  readonly meters: MeterReadings;
  /** N2/N1 as read; NaN without a second shaft. Of both sensors the lag is taken as the same. */
  readonly secondShaftRatio: number;
  /** With what is entered. */
  predicted: PathState | null;
}

export const USUAL_MOST_ROWS = 4000;

/** Rows of the used pulls with all that the path needs of them; averaged in groups of neighbours where there are more than `mostRows`. */
export function workRows(
  frame: LogFrame,
  pulls: readonly RoadLogPull[],
  ambient: Ambient,
  options: RoadLogOptions,
  drivelineLoss: number,
): { rows: WorkRow[]; averaged: number } {
  const wanted = pulls.reduce((sum, pull) => sum + (pull.used ? pull.toRow - pull.fromRow : 0), 0);
  const averaged = Math.max(1, Math.ceil(wanted / (options.mostRows ?? USUAL_MOST_ROWS)));
  const rows = pulls.flatMap((pull, number) =>
    pull.used ? pullRows(frame, pull, number, ambient, options, averaged, drivelineLoss) : [],
  );
  return { rows, averaged };
}

function pullRows(
  frame: LogFrame,
  { fromRow, toRow }: RoadLogPull,
  pull: number,
  ambient: Ambient,
  options: RoadLogOptions,
  averaged: number,
  drivelineLoss: number,
): WorkRow[] {
  const values = (key: LogChannelKey) => frame.channels.get(key);
  const pressure = values('manifoldPressure')!;
  const shaft = values('shaftSpeed');
  const charge = values('chargeTemperature');
  const none = new Float64Array(toRow - fromRow).fill(Number.NaN);
  const rates = slopes(frame, pressure, fromRow, toRow);
  const shaftRates = shaft === undefined ? none : slopes(frame, shaft, fromRow, toRow);
  const chargeRates = charge === undefined ? none : slopes(frame, charge, fromRow, toRow, CHARGE_RATE_HALF_S, true);
  const noise = pullNoise(frame, fromRow, toRow, averaged);
  const rows: WorkRow[] = [];
  for (let from = fromRow; from < toRow; from += averaged) {
    const to = Math.min(toRow, from + averaged);
    const mean = (of: Float64Array | undefined, offset = 0) =>
      of === undefined ? Number.NaN : meanOf(of, from - offset, to - offset);
    const at = (key: LogChannelKey) => mean(values(key));
    const factor = options.shaftSpeedFactor ?? 1;
    const speed = mean(shaft) * factor;
    const ambientPa = or(at('ambientPressure'), ambient.pressurePa);
    const ambientK = or(at('ambientTemperature'), ambient.temperatureK);
    rows.push({
      row: from,
      pull,
      timeS: frame.timeS === null ? null : mean(frame.timeS),
      readings: {
        engineSpeedRpm: at('engineSpeed'),
        manifoldPressurePa: at('manifoldPressure') - (options.manifoldZeroPa ?? 0),
        pressureRatePaPerS: mean(rates, fromRow),
        shaftSpeedRpm: speed,
        ambientPressurePa: ambientPa,
        ambientTemperatureK: ambientK,
        inletTemperatureK: at('compressorInletTemperature'),
        inletPressurePa: at('compressorInletPressure'),
        outletPressurePa: at('compressorOutletPressure'),
        chargeTemperatureK: at('chargeTemperature'),
        turbineInletPressurePa: at('turbineInletPressure'),
      },
      noise,
      lost: frame.lost.subarray(from, to).reduce((bits, one) => bits | one, 0),
      shaftRate: (mean(shaftRates, fromRow) * factor) / speed,
      chargeRateKPerS: mean(chargeRates, fromRow),
      probeDoubtK: 0,
      meters: {
        airMass: at('airMassFlow'),
        fuel: at('fuelMassFlow'),
        power: at('brakePower') * toBrakePower(options, drivelineLoss, ambientPa, ambientK, ambient),
        lambda: at('lambda'),
      },
      secondShaftRatio: (at('secondShaftSpeed') * factor) / speed,
      predicted: null,
    });
  }
  return rows;
}

/** Power at the crankshaft in the air of the row for one of the log's: its correction is undone, and the driveline's loss. */
export function toBrakePower(
  { power }: Pick<RoadLogOptions, 'power'>,
  drivelineLoss: number,
  ambientPa: number,
  ambientK: number,
  { vapourMoleFraction }: Ambient,
): number {
  if (power === undefined) return 1;
  const corrected = powerCorrectionFactor(power.correction, ambientPa * (1 - vapourMoleFraction), ambientK);
  return 1 / corrected / (power.at === 'wheels' ? 1 - drivelineLoss : 1);
}

/** To either side, for the slope of the charge temperature: over less, the noise of the probe would be all that is seen. */
export const CHARGE_RATE_HALF_S = 1;

const or = (value: number, other: number) => (Number.isNaN(value) ? other : value);

function meanOf(values: Float64Array, from: number, to: number): number {
  let sum = 0;
  let count = 0;
  for (let i = from; i < to; i++) {
    if (Number.isNaN(values[i]!)) continue;
    sum += values[i]!;
    count++;
  }
  return count === 0 ? Number.NaN : sum / count;
}

/** What an instrument is at least taken to scatter: a last digit. Where too few rows tell: what a usual one does. */
const LEAST_NOISE = { shaft: 1e-4, manifoldPa: 50, chargeK: 0.1 };
export const USUAL_NOISE = { shaft: 1.5e-3, manifoldPa: 700, chargeK: 1 };

function pullNoise(frame: LogFrame, from: number, to: number, averaged: number): RowNoise {
  const seen = (key: LogChannelKey, least: number, usual: number, scale = 1) => {
    const values = frame.channels.get(key);
    if (values === undefined) return 0;
    return Math.max(least, or(noiseOf(values, from, to) / scale, usual)) / Math.sqrt(averaged);
  };
  const shaft = frame.channels.get('shaftSpeed');
  const manifoldPa = seen('manifoldPressure', LEAST_NOISE.manifoldPa, USUAL_NOISE.manifoldPa);
  const step = frame.stepS ?? Number.POSITIVE_INFINITY;
  // Slope of a parabola through 2 h + 1 even rows: sigma / (step sqrt(sum of squares of their numbers)).
  const rateNoise = (deviation: number, halfS: number) => {
    const half = Math.max(1, Math.round(halfS / step));
    return (deviation * Math.sqrt(averaged)) / (step * Math.sqrt((half * (half + 1) * (2 * half + 1)) / 3));
  };
  const chargeK = seen('chargeTemperature', LEAST_NOISE.chargeK, USUAL_NOISE.chargeK);
  return {
    shaft: shaft === undefined ? 0 : seen('shaftSpeed', LEAST_NOISE.shaft, USUAL_NOISE.shaft, meanOf(shaft, from, to)),
    manifoldPa,
    ratePaPerS: rateNoise(manifoldPa, 0.15),
    chargeK,
    chargeRateKPerS: rateNoise(chargeK, CHARGE_RATE_HALF_S),
  };
}
