import type { RoadLog } from '../../match/log/types.ts';
import type { LogRows } from '../schema.ts';
import type { LogText } from './types.ts';

/** A build file grows by at most some 300 kB a log: so many rows are kept in the document, the raw bytes beside it. */
export const MOST_KEPT_ROWS = 2000;

/**
 * The rows that a document keeps: the pulls with a little before and after them, and a few with the engine off; all of the log where
 * that is short. Every n-th where they are too many. Numbers to seven digits.
 */
export function keptRows(
  log: Pick<LogText, 'channels' | 'timeS'>,
  pulls: readonly { fromRow: number; toRow: number }[],
): LogRows {
  const count = log.channels[0]?.values.length ?? 0;
  const engineSpeed = log.channels.find(({ key }) => key === 'engineSpeed')?.values;
  const margin = 40;
  const picked = new Set<number>();
  const wanted = count <= MOST_KEPT_ROWS || pulls.length === 0 ? [{ fromRow: 0, toRow: count }] : pulls;
  for (const { fromRow, toRow } of wanted) {
    for (let row = Math.max(fromRow - margin, 0); row < Math.min(toRow + margin, count); row += 1) picked.add(row);
  }
  for (let row = 0, off = 0; engineSpeed !== undefined && row < count && off < 20; row += 1) {
    if (engineSpeed[row]! < 50) {
      picked.add(row);
      off += 1;
    }
  }
  const all = [...picked].sort((a, b) => a - b);
  const every = Math.ceil(all.length / MOST_KEPT_ROWS);
  const kept = all.filter((_, at) => at % every === 0);
  const short = (value: number) => Number(value.toPrecision(7));
  const { timeS } = log;
  return {
    timeS: timeS === null ? null : kept.map((row) => short(timeS[row]!)),
    channels: log.channels.map(({ key, values }) => ({
      key,
      values: kept.map((row) => (Number.isFinite(values[row]!) ? short(values[row]!) : null)),
    })),
  };
}

/** The kept rows as a log again, where the raw file is not on this machine. */
export function roadLogOf({ timeS, channels }: LogRows): RoadLog {
  return {
    timeS: timeS === null ? null : Float64Array.from(timeS),
    channels: channels.map(({ key, values }) => ({
      key,
      unit: '',
      values: Float64Array.from(values, (value) => value ?? Number.NaN),
    })),
  };
}
