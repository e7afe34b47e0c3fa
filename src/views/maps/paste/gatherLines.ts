import { formatNumber, plainNumber } from '../../../units/index.ts';
import { sortAlong } from '../sortAlong.ts';
import type { PastedLine } from './readMapTable.ts';

export interface PastedPoint {
  flow: string;
  pressureRatio: string;
  efficiency: string;
}

/** One usable row, numbers and the text they came in. */
export interface PastedRow {
  speed: number | null;
  percent: number | null;
  /** Line that the row stands in where the table has no speeds. */
  block: number;
  flow: number;
  ratio: number;
  efficiency: number | null;
  text: { flow: string; ratio: string; efficiency: string };
}

export interface GatherOptions {
  speedsInPercent: boolean;
  designSpeedRpm?: number | undefined;
  flowFactor: number;
  /** Points stand in rising expansion ratio instead of from surge to choke. */
  isTurbine: boolean;
}

/** Speeds closer than this share stand on one line; sheets have no lines so close, measured readings of one line scatter by 0.3 %. */
const SAME_LINE = 0.01;

/**
 * Rows to speed lines: by the percent column where there is one beside the speeds, else by equal or nearly equal speed. A line of
 * readings at slightly different speeds gets their mean. Points are put in order from surge to choke.
 */
export function gatherLines(
  rows: readonly PastedRow[],
  options: GatherOptions,
): { lines: PastedLine[]; notes: string[] } {
  const named = rows.every((r) => r.speed === null && r.percent === null);
  const groups = named ? byBlock(rows) : (byPercent(rows) ?? bySpeed(rows));
  const notes: string[] = [];
  let resorted = 0;
  let spread = 0;
  let example = '';
  const lines = groups.map((group): PastedLine => {
    const speeds = group.flatMap((r) => speedOf(r, options) ?? []);
    const mean = speeds.reduce((a, b) => a + b, 0) / speeds.length;
    const low = Math.min(...speeds);
    const high = Math.max(...speeds);
    if (high > low) {
      spread++;
      if (example === '')
        example = `${formatNumber(low, 0)} to ${formatNumber(high, 0)} rpm at ${formatNumber(mean, 0)} rpm`;
    }
    const { sorted, changed } = options.isTurbine
      ? byRatio(group)
      : sortAlong(
          group,
          (r) => r.flow,
          (r) => r.ratio,
        );
    if (changed) resorted++;
    return {
      speed: speeds.length > 0 ? plainNumber(high > low ? Math.round(mean) : mean, 8) : '',
      points: sorted.map((r) => point(r, options.flowFactor)),
    };
  });
  if (spread > 0) {
    notes.push(
      `Readings at slightly different speeds are put together on ${spread === 1 ? 'one line' : `${spread} lines`} at their mean speed (${example}).`,
    );
  }
  if (options.speedsInPercent && options.designSpeedRpm !== undefined) {
    notes.push(`Speeds in percent of ${formatNumber(options.designSpeedRpm, 0)} rpm.`);
  }
  if (resorted > 0) {
    const order = options.isTurbine ? 'of rising expansion ratio' : 'from surge to choke';
    notes.push(`The points of ${resorted === 1 ? 'one line' : `${resorted} lines`} are put in order ${order}.`);
  }
  return { lines, notes };
}

function byBlock(rows: readonly PastedRow[]): PastedRow[][] {
  const groups = new Map<number, PastedRow[]>();
  for (const row of rows) groups.set(row.block, [...(groups.get(row.block) ?? []), row]);
  return [...groups.values()];
}

function byRatio(rows: readonly PastedRow[]): { sorted: readonly PastedRow[]; changed: boolean } {
  const sorted = rows.toSorted((a, b) => a.ratio - b.ratio);
  return { sorted, changed: sorted.some((row, i) => row !== rows[i]) };
}

function point(row: PastedRow, factor: number): PastedPoint {
  // Twelve digits: 4.8832 lb/s times 60 is 292.992 lb/min and not 292.99199999999996.
  const flow = factor === 1 ? row.text.flow : plainNumber(row.flow * factor, 12);
  return { flow, pressureRatio: row.text.ratio, efficiency: row.text.efficiency };
}

function speedOf(row: PastedRow, options: GatherOptions): number | null {
  const share = row.speed !== null && !options.speedsInPercent ? null : (row.percent ?? row.speed);
  if (share === null) return row.speed;
  return options.designSpeedRpm === undefined ? null : (share / 100) * options.designSpeedRpm;
}

function byPercent(rows: readonly PastedRow[]): PastedRow[][] | null {
  if (rows.some((r) => r.percent === null)) return null;
  const groups = new Map<number, PastedRow[]>();
  for (const row of rows) groups.set(row.percent ?? 0, [...(groups.get(row.percent ?? 0) ?? []), row]);
  // A column of true percents differs in every row: then it is no name of a line.
  const entries = [...groups.entries()].sort((a, b) => a[0] - b[0]);
  if (entries.some(([value], i) => i > 0 && value - entries[i - 1]![0] < SAME_LINE * value)) return null;
  return entries.map(([, group]) => group);
}

function bySpeed(rows: readonly PastedRow[]): PastedRow[][] {
  const value = (r: PastedRow): number => r.speed ?? r.percent ?? 0;
  // Equal speeds keep their order, so that points stay as pasted.
  const sorted = rows.map((row, i) => ({ row, i })).sort((a, b) => value(a.row) - value(b.row) || a.i - b.i);
  const groups: { row: PastedRow; i: number }[][] = [];
  for (const entry of sorted) {
    const group = groups.at(-1);
    const last = group?.at(-1);
    if (group && last && value(entry.row) - value(last.row) <= SAME_LINE * value(entry.row)) group.push(entry);
    else groups.push([entry]);
  }
  return groups.map((group) => group.sort((a, b) => a.i - b.i).map(({ row }) => row));
}
