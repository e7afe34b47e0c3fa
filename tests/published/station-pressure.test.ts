import { describe, expect, it } from 'vitest';
import { stationPressure, stationToSeaLevel } from '../../src/air/index.ts';

// Pure standard-atmosphere relation of ICAO Doc 7488, p = (Q^m - 1013.25^m 0.0065 H / 288.15)^(1/m), m = 0.190263, evaluated
// independently; case b is the ISO 2533 table at 1500 m.
const ICAO = [
  [1013.25, 1500, 845.56],
  [1030, 1524, 857.509],
  [995, 1000, 882.187],
] as const;

// Smithsonian Meteorological Tables (1951, p. 269) with their 0.3 hPa; first row printed in the test suite of the weather library
// MetPy (altimeter_to_station_pressure, 950.96498 hPa). Another convention: within 0.3 hPa only.
const SMITHSONIAN = [
  [1009.144, 500, 950.965],
  [1013.25, 1500, 845.796],
  [1030, 1524, 857.743],
  [995, 1000, 882.443],
] as const;

function reduced(reportHpa: number, altitudeM: number): number {
  const result = stationPressure({ kind: 'weather-report', altitudeM, pressurePa: reportHpa * 100 });
  if (!result.ok) throw new Error(result.message);
  return result.pressurePa / 100;
}

describe('weather report back to station pressure', () => {
  it.each(ICAO)('ICAO Doc 7488: %f hPa at %d m is %f hPa', (report, altitudeM, expected) => {
    expect(Math.abs(reduced(report, altitudeM) - expected)).toBeLessThan(0.003);
  });

  it.each(SMITHSONIAN)(
    'Smithsonian tables, within 0.3 hPa: %f hPa at %d m is %f hPa',
    (report, altitudeM, expected) => {
      const difference = expected - reduced(report, altitudeM);
      expect(difference).toBeGreaterThan(0.2);
      expect(difference).toBeLessThan(0.3);
    },
  );

  it('NWS altimeter setting of 850 hPa at 1500 m, 1018.118 hPa, within 0.3 hPa', () => {
    expect(Math.abs(stationToSeaLevel(85_000, 1500) / 100 - 1018.118)).toBeLessThan(0.3);
  });
});
