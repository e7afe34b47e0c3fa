import { type ResultUnits, rankSpool, type Spool, type SpoolTime, showResult } from '../../match/index.ts';
import type { SpoolReading } from '../../store/index.ts';
import { formatNumber, NO_BREAK_SPACE } from '../../units/index.ts';
import { candidateLetter } from './display.ts';

/** How two candidates spool up, in words: an estimate, ranked. */
interface SpoolWords {
  /** 'B spools up sooner: …'; or why the two cannot be compared. */
  headline: string;
  /** One sentence a candidate. */
  lines: readonly string[];
  /** What it is worth, and the caution. */
  note: string;
}

const NOTE =
  'ESTIMATE for ranking two turbos, never a promise: constant engine speed and full load, gate shut, steady maps. Pulses, heat and the lag of throttle and fuel are left out. Try it on a dynamometer, not on the road.';

const REASONS: Readonly<Record<Exclude<Spool['status'], 'ok'>, string>> = {
  'no-turbine': 'its turbine is not known',
  'bad-input': 'an entry cannot be right',
  'no-goal': 'there is no operating point at this engine speed',
  'not-reached':
    'the exhaust does not drive the goal at this engine speed: choose a higher one, above both boost thresholds',
  'no-start': 'the goal is no higher than the start, or its map does not reach from one to the other',
  stalls: 'on the way the turbine gives no more than compressor and bearing take',
};

/** From here a share over the other is no longer read at a glance. */
const MANY_TIMES = 2;

const seconds = (s: number) => `${formatNumber(s, s < 10 ? 2 : 1)}${NO_BREAK_SPACE}s`;
const percent = (share: number) => `±${formatNumber(100 * share, 0)}${NO_BREAK_SPACE}%`;

/**
 * @param pair places of the two in the build, the known one first
 * @param readings of both; null: there is no such candidate
 */
export function spoolWords(
  pair: readonly [number, number],
  readings: readonly [SpoolReading | null, SpoolReading | null],
  units: ResultUnits,
): SpoolWords {
  const [a, b] = readings.map((reading) => (reading?.spool?.status === 'ok' ? reading.spool : null));
  const lines = readings.map((reading, i) => lineOf(candidateLetter(pair[i]!), reading, units));
  if (a == null || b == null) return { headline: 'Spool-up: not compared.', lines, note: NOTE };
  return { headline: headlineOf(pair, a, b, units), lines, note: NOTE };
}

function lineOf(letter: string, reading: SpoolReading | null, units: ResultUnits): string {
  if (reading === null) return '';
  if (reading.spool === null) return `${letter}: ${reading.problem}`;
  const { spool } = reading;
  if (spool.status !== 'ok') return `${letter}: ${spool.message || `${REASONS[spool.status]}.`}`;
  const low = spool.timeS * (1 - spool.band);
  const high = spool.timeS * (1 + spool.band);
  const shaft = (rpm: number) => showResult(rpm, 'shaft-speed', units);
  return `${letter}: about ${seconds(spool.timeS)} (${seconds(low)} to ${seconds(high)}), the shaft from ${shaft(spool.fromShaftRpm)} to ${shaft(spool.toShaftRpm)}.`;
}

function headlineOf(pair: readonly [number, number], a: SpoolTime, b: SpoolTime, units: ResultUnits): string {
  const [first, second] = pair.map(candidateLetter);
  const { verdict, band } = rankSpool(a, b);
  const from = showResult(Math.max(a.fromPa, b.fromPa), 'absolute-pressure', units);
  const where = `Spool-up at ${formatNumber(a.engineSpeedRpm, 0)}${NO_BREAK_SPACE}rpm from ${from} absolute to the goal`;
  if (verdict === 'same') return `${where}: ${first} and ${second} cannot be told apart within ${percent(band)}.`;
  const ratio = b.timeS / a.timeS;
  const share = `${formatNumber(100 * Math.abs(ratio - 1), 0)}${NO_BREAK_SPACE}%`;
  const takes =
    ratio >= MANY_TIMES
      ? `about ${formatNumber(ratio, 1)} times as long as`
      : `about ${share} ${verdict === 'later' ? 'longer' : 'less time'} than`;
  return `${where}: ${second} takes ${takes} ${first} (${percent(band)}).`;
}
