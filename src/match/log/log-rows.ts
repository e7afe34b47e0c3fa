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

const FULL_THROTTLE = 0.9;
const LEAST_RPM = 800;
const LEAST_S = 1.5;
const LEAST_ROWS = 5;
/** Engine speed below its highest so far by this share: the pull has ended. */
const FALLEN = 0.03;
/** Below this no engine runs under load. */
const RUNNING_RPM = 800;
const ENVELOPE_STEP_RPM = 250;

/**
 * Full-throttle pulls: runs of rows with the throttle at 90 % or more in which the engine speed does not fall 3 % below its highest, and
 * that rise by 800 rpm or last 1.5 s. Without a throttle the manifold pressure must be near ambient or above, and within 90 % of the log's
 * highest at that engine speed in at least five rows: a log that never sees full throttle may then look like one that does. Steps of a
 * dynamometer at full load count.
 */
export function findPulls(frame: LogFrame, ambient: Ambient): Omit<RoadLogPull, 'used'>[] {
  const engineSpeed = frame.channels.get('engineSpeed');
  const pressure = frame.channels.get('manifoldPressure');
  if (engineSpeed === undefined || pressure === undefined) return [];
  const load = loadOf(frame, engineSpeed, pressure, ambient.pressurePa);
  const starts = new Set(frame.sessions);
  const pulls: Omit<RoadLogPull, 'used'>[] = [];
  let from = -1;
  let highest = 0;
  const end = (to: number) => {
    if (from >= 0) pulls.push(...pullOf(frame, engineSpeed, load, from, to));
    from = -1;
  };
  for (let i = 0; i < frame.rows; i++) {
    const n = engineSpeed[i]!;
    if (from >= 0 && (starts.has(i) || n < (1 - FALLEN) * highest)) end(i);
    if (!load.may(i)) {
      // A single reading that is missing does not end a pull.
      if (!Number.isNaN(n) && !Number.isNaN(pressure[i]!)) end(i);
      continue;
    }
    if (from < 0) {
      from = i;
      highest = 0;
    }
    highest = Math.max(highest, n);
  }
  end(frame.rows);
  return pulls;
}

/** Whether a row may belong to a pull, and whether it is surely at full load. */
interface Load {
  may: (row: number) => boolean;
  surely: (row: number) => boolean;
}

function loadOf(frame: LogFrame, engineSpeed: Float64Array, pressure: Float64Array, ambientPa: number): Load {
  const throttle = frame.channels.get('throttle');
  const running = (i: number) => engineSpeed[i]! >= RUNNING_RPM;
  if (throttle !== undefined) {
    const open = (i: number) => running(i) && throttle[i]! >= FULL_THROTTLE;
    return { may: open, surely: open };
  }
  const envelope: number[] = [];
  const binOf = (i: number) => Math.floor(engineSpeed[i]! / ENVELOPE_STEP_RPM);
  for (let i = 0; i < frame.rows; i++) {
    if (running(i)) envelope[binOf(i)] = Math.max(envelope[binOf(i)] ?? 0, pressure[i]! || 0);
  }
  // While the turbo spools up, boost lies far below what another pull has at this engine speed.
  const reaches = (i: number, share: number) =>
    pressure[i]! >= Math.max(0.95 * ambientPa, share * (envelope[binOf(i)] ?? 0));
  return { may: (i) => running(i) && reaches(i, 0.5), surely: (i) => running(i) && reaches(i, 0.9) };
}

function pullOf(
  frame: LogFrame,
  engineSpeed: Float64Array,
  load: Load,
  from: number,
  to: number,
): Omit<RoadLogPull, 'used'>[] {
  const shaft = frame.channels.get('shaftSpeed');
  const highestOf = (values: Float64Array | undefined) => {
    let most = Number.NaN;
    for (let i = from; values !== undefined && i < to; i++)
      if (!(values[i]! <= most) && !Number.isNaN(values[i]!)) most = values[i]!;
    return most;
  };
  const toRpm = highestOf(engineSpeed);
  let fromRpm = toRpm;
  for (let i = from; i < to; i++) if (engineSpeed[i]! < fromRpm) fromRpm = engineSpeed[i]!;
  const durationS = frame.timeS === null ? null : frame.timeS[to - 1]! - frame.timeS[from]!;
  let sure = 0;
  for (let i = from; i < to; i++) sure += Number(load.surely(i));
  const isPull = sure >= LEAST_ROWS && (toRpm - fromRpm >= LEAST_RPM || (durationS ?? 0) >= LEAST_S);
  if (!isPull) return [];
  const highestShaft = highestOf(shaft);
  return [
    {
      fromRow: from,
      toRow: to,
      fromRpm,
      toRpm,
      highestShaftSpeedRpm: Number.isNaN(highestShaft) ? null : highestShaft,
    },
  ];
}
