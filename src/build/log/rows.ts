import type { RemovedReading } from '../../match/index.ts';
import { fillBetween, findPegged, findSpikes, findUpdates, type Updates } from '../../match/index.ts';
import type { LogChannelKey } from '../../match/log/types.ts';
import { CHANNELS } from './names.ts';
import type { LogFinding, LogProblem, LogQuestion } from './types.ts';
import { ask, hintFor, quoted, type Understood } from './understand.ts';

/** Channels whose sensor can be at its end in a pull; a throttle or a duty that stays at the top is no fault. */
const CAN_PEG: readonly LogChannelKey[] = [
  'manifoldPressure',
  'shaftSpeed',
  'secondShaftSpeed',
  'compressorOutletPressure',
  'turbineInletPressure',
  'turbineInletTemperature',
  'airMassFlow',
];
const SPIKED: readonly LogChannelKey[] = ['shaftSpeed', 'secondShaftSpeed', 'manifoldPressure'];
/** An engine that turns faster than this drives its turbo, so that a shaft speed of 0 is a pickup that lost its blades, rpm. */
const RUNNING_RPM = 300;

/**
 * Takes out of the channels (in place) what cannot be right, and puts those that are slower than the rows between their updates.
 *
 * @param sessions Rows at which a session begins: nothing is compared or joined across them.
 * @param stepS Usual time from row to row; null where there is no time.
 */
export function cleanChannels(
  values: ReadonlyMap<LogChannelKey, Float64Array>,
  columnsOf: ReadonlyMap<LogChannelKey, Understood>,
  sessions: readonly number[],
  stepS: number | null,
  lines: Int32Array,
  questions: LogQuestion[],
): { removed: RemovedReading[]; periods: Map<number, number>; findings: LogFinding[]; problems: LogProblem[] } {
  const starts = new Uint8Array(lines.length);
  for (const row of sessions) starts[row] = 1;
  const isBreak = (row: number) => starts[row] === 1;
  const engineSpeed = values.get('engineSpeed');
  // Taken before anything is drawn between updates.
  const isRunning = engineSpeed === undefined ? () => true : runningRows(engineSpeed);
  const removed: RemovedReading[] = [];
  const findings: LogFinding[] = [];
  const problems: LogProblem[] = [];
  const periods = new Map<number, number>();
  for (const [key, channel] of values) {
    const column = columnsOf.get(key)!;
    const updates = findUpdates(channel);
    const take = (rows: readonly number[], why: RemovedReading['why']) => {
      for (const row of rows) removed.push({ key, row, why, value: channel[row]! });
      const held = updates.period > 1 ? rows.flatMap((row) => heldWith(channel, row)) : rows;
      for (const row of held) channel[row] = Number.NaN;
    };
    const tell = (code: LogFinding['code'], rows: readonly number[], words: string) => {
      if (rows.length === 0) return;
      const message = `${CHANNELS[key].title}, ${words}: ${rows.length}, first in line ${lines[rows[0]!] ?? 0}.`;
      findings.push({
        code,
        channel: key,
        count: rows.length,
        message: message.charAt(0).toUpperCase() + message.slice(1),
      });
    };
    if (CAN_PEG.includes(key) && column.hint.keepTop !== true) {
      const pegged = findPegged(channel, updates.at, isRunning);
      if (pegged.length > 0) reportPegged(key, column, pegged, lines, problems, questions);
      tell('pegged', pegged, 'readings at its top left out, where a sensor or its number ends');
      take(pegged, 'pegged');
    }
    if (key === 'shaftSpeed' || key === 'secondShaftSpeed') {
      const lost = [...updates.at].filter((row) => channel[row]! < 100 && isRunning(row));
      tell('drop-out', lost, 'readings of nothing while the engine runs left out, where the pickup lost the blades');
      take(lost, 'spike');
    }
    if (SPIKED.includes(key)) {
      const spikes = findSpikes(channel, updates.at, isBreak);
      const isLost = ({ index, usual }: { index: number; usual: number }) =>
        key !== 'manifoldPressure' && channel[updates.at[index]!]! < 0.97 * usual;
      const lost = spikes.filter(isLost).map(({ index }) => updates.at[index]!);
      const high = spikes.filter((spike) => !isLost(spike)).map(({ index }) => updates.at[index]!);
      tell('drop-out', lost, 'readings far below their neighbours left out, where the pickup missed blades');
      tell('spike', high, 'spikes left out, more than four robust deviations from their neighbours');
      take(lost, 'spike');
      take(high, 'spike');
    }
    if (updates.period > 1) {
      reportHeld(key, updates, stepS, findings);
      if (stepS !== null) periods.set(column.index, updates.period * stepS);
      fillBetween(channel, updates, isBreak);
    }
  }
  return { removed: removed.sort((a, b) => a.row - b.row), periods, findings, problems };
}

function runningRows(engineSpeed: Float64Array): (row: number) => boolean {
  const running = new Uint8Array(engineSpeed.length);
  let last = 0;
  for (let row = 0; row < running.length; row += 1) {
    const speed = engineSpeed[row]!;
    // Between updates of a slow channel the last one holds.
    if (!Number.isNaN(speed)) last = speed > RUNNING_RPM ? 1 : 0;
    running[row] = last;
  }
  return (row) => running[row] === 1;
}

/** The row and those behind it that repeat its reading. */
function heldWith(channel: Float64Array, row: number): number[] {
  const rows = [row];
  for (let next = row + 1; next < channel.length && channel[next] === channel[row]; next += 1) rows.push(next);
  return rows;
}

function reportHeld(key: LogChannelKey, { period, at }: Updates, stepS: number | null, findings: LogFinding[]): void {
  const every = stepS === null ? `${period.toFixed(1)} rows` : `${(period * stepS).toFixed(2)} s`;
  const title = CHANNELS[key].title;
  const message = `${title.charAt(0).toUpperCase()}${title.slice(1)} is read anew every ${every}: rows between are drawn from update to update.`;
  findings.push({ code: 'held', channel: key, count: at.length, message });
}

function reportPegged(
  key: LogChannelKey,
  column: Understood,
  pegged: readonly number[],
  lines: Int32Array,
  problems: LogProblem[],
  questions: LogQuestion[],
): void {
  const title = CHANNELS[key].title;
  const where = `${quoted(column)}, line ${lines[pegged[0]!] ?? 0}`;
  const higher =
    key === 'manifoldPressure' ? 'Boost may have been higher than logged.' : 'It may have been higher than logged.';
  problems.push({
    severity: 'warning',
    path: where,
    message: `The ${title} stays at its top for ${pegged.length} readings, as a sensor at its end does: they are left out. ${higher} Use a sensor with a wider range, or say below that the readings are right.`,
  });
  questions.push(
    ask(column, 'pegged', `${quoted(column)} stays at its highest reading: is that the end of the sensor?`, [
      { label: 'Yes, leave these rows out', hints: hintFor(column.index, { keepTop: false }) },
      { label: 'No, the readings are right', hints: hintFor(column.index, { keepTop: true }) },
    ]),
  );
}
