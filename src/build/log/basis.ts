import type { LogChannelKey } from '../../match/log/types.ts';
import type { PressureBasis } from './types.ts';

/** What the rows say of a pressure: gauge or absolute, and which rows said so. */
export interface BasisEvidence {
  readonly basis: PressureBasis;
  readonly words: string;
  readonly row: number | null;
}

const LEAST_ROWS = 3;
/** Highest engine speed of a standing engine, and the band in which engines idle, rpm. */
const OFF_RPM = 50;
const IDLE_RPM = [400, 1300] as const;
/** Barometers at which cars drive, Pa; where the day's is known the reading must come within 5 kPa of it. */
const ANY_BAROMETER_PA = [60e3, 108e3] as const;

const kPa = (pa: number) => `${(pa / 1000).toFixed(1)} kPa`;

/**
 * Gauge or absolute, by rows that can tell: with the engine off a pressure reads the barometer or nothing; at idle the manifold is
 * far below the barometer. Null where there are no such rows, or where they do not agree with either.
 */
export function findBasis(
  key: LogChannelKey,
  pressurePa: Float64Array,
  engineSpeedRpm: Float64Array | null,
  throttle: Float64Array | null,
  barometerPa: number | null,
): BasisEvidence | null {
  const rowsWhere = (holds: (row: number) => boolean) => {
    const rows: number[] = [];
    for (let row = 0; row < pressurePa.length && rows.length < 5000; row += 1) {
      if (Number.isFinite(pressurePa[row]!) && holds(row)) rows.push(row);
    }
    return rows;
  };
  const median = (rows: readonly number[]) =>
    rows.map((row) => pressurePa[row]!).sort((a, b) => a - b)[rows.length >> 1]!;
  const below = rowsWhere((row) => pressurePa[row]! < -1e3);
  if (below.length >= LEAST_ROWS) return { basis: 'gauge', words: 'it reads below zero', row: below[0]! };
  if (engineSpeedRpm === null) return null;
  const off = rowsWhere((row) => engineSpeedRpm[row]! < OFF_RPM);
  if (off.length >= LEAST_ROWS) {
    const reads = median(off);
    const words = `with the engine off it reads ${kPa(reads)}`;
    if (Math.abs(reads) <= 3e3) return { basis: 'gauge', words, row: off[0]! };
    const [low, high] = barometerPa === null ? ANY_BAROMETER_PA : [barometerPa - 5e3, barometerPa + 5e3];
    if (reads >= low && reads <= high) return { basis: 'absolute', words, row: off[0]! };
  }
  if (key !== 'manifoldPressure') return null;
  const isShut = (row: number) => throttle === null || !(throttle[row]! > 0.12);
  const idle = rowsWhere(
    (row) => engineSpeedRpm[row]! > IDLE_RPM[0] && engineSpeedRpm[row]! < IDLE_RPM[1] && isShut(row),
  );
  if (idle.length >= LEAST_ROWS) {
    const reads = median(idle);
    if (reads >= 20e3 && reads <= 75e3)
      return { basis: 'absolute', words: `at idle it reads ${kPa(reads)}`, row: idle[0]! };
  }
  return null;
}
