import { readFileSync } from 'node:fs';
import type { MapSheet } from '../../src/compressor/types.ts';

/**
 * NASA's High Efficiency Centrifugal Compressor with vaned diffuser: 92 measured points (NASA HECC data archive, read-me of 14 April
 * 2023; NASA/CR-2014-218114). Reference 518.67 R and 14.696 psia.
 */
export interface NasaReading {
  percent: number;
  speedRpm: number;
  flowKgPerS: number;
  pressureRatio: number;
  efficiency: number;
}

const KG_PER_LB = 0.45359237;

export function nasaReadings(): NasaReading[] {
  return readFileSync('tests/fixtures/nasa-hecc-vaned.csv', 'utf8')
    .trim()
    .split('\n')
    .slice(1)
    .map((row) => {
      const [percent, speedRpm, flow, pressureRatio, efficiency] = row.split(',').map(Number) as [
        number,
        number,
        number,
        number,
        number,
      ];
      return { percent, speedRpm, flowKgPerS: flow * KG_PER_LB, pressureRatio, efficiency };
    });
}

/** The readings as a sheet: one line for each nominal percentage, at the median of its readings' speeds. */
export function nasaSheet(readings: readonly NasaReading[] = nasaReadings()): MapSheet {
  const percents = [...new Set(readings.map((r) => r.percent))];
  return {
    format: 'lugline-map',
    version: 1,
    name: 'NASA HECC, vaned',
    source: 'NASA HECC data archive',
    reference: { temperatureK: 288.15, pressurePa: 101325 },
    flowUnit: 'kg/s',
    speedLines: percents.map((percent) => {
      const line = readings.filter((r) => r.percent === percent);
      const speeds = line.map((r) => r.speedRpm).sort((a, b) => a - b);
      return {
        speedRpm: speeds[speeds.length >> 1]!,
        points: line.map((r) => ({ flow: r.flowKgPerS, pressureRatio: r.pressureRatio, efficiency: r.efficiency })),
      };
    }),
  };
}
