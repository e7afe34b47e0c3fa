import { describe, expect, it } from 'vitest';
import { compareControllers, type HeldGoal, holdGoal, type Place, standardPlace } from '../../src/match/index.ts';
import { plainInput } from '../match/straight-map.ts';

/**
 * Pressure and temperature: ISO 2533:1975 / U.S. Standard Atmosphere 1976, geopotential altitude. The ratios are a hand calculation from
 * the printed pressures: without losses PR = p_m / p0, with p_m = 201,325 Pa held absolute, or p0 + 100,000 Pa held gauge.
 */
const TABLE = [
  { altitudeM: 0, pressurePa: 101325.0, temperatureK: 288.15, absolute: 1.98692, gauge: 1.98692 },
  { altitudeM: 500, pressurePa: 95460.8, temperatureK: 284.9, absolute: 2.10898, gauge: 2.04755 },
  { altitudeM: 1000, pressurePa: 89874.6, temperatureK: 281.65, absolute: 2.24007, gauge: 2.11266 },
  { altitudeM: 1500, pressurePa: 84556.0, temperatureK: 278.4, absolute: 2.38097, gauge: 2.18265 },
  { altitudeM: 2000, pressurePa: 79495.2, temperatureK: 275.15, absolute: 2.53254, gauge: 2.25794 },
  { altitudeM: 2500, pressurePa: 74682.5, temperatureK: 271.9, absolute: 2.69575, gauge: 2.339 },
  { altitudeM: 3000, pressurePa: 70108.5, temperatureK: 268.65, absolute: 2.87162, gauge: 2.42636 },
  { altitudeM: 4000, pressurePa: 61640.2, temperatureK: 262.15, absolute: 3.26613, gauge: 2.62232 },
] as const;

const rule = { temperature: { kind: 'standard' }, relativeHumidity: 0 } as const;
const places: Place[] = TABLE.map(({ altitudeM }) => {
  const made = standardPlace(altitudeM, rule, `${altitudeM} m`);
  if (!made.ok) throw new Error(made.message);
  return made.place;
});

function ratios(held: HeldGoal): number[] {
  return held.cells.map((row) => {
    const point = row[0]!.point;
    if (point.status !== 'ok') throw new Error(point.message);
    return point.pressureRatio;
  });
}

describe('places', () => {
  it.each(TABLE.map((row, i) => ({ ...row, place: places[i]! })))(
    'air of the standard atmosphere at $altitudeM m',
    (row) => {
      expect(Math.abs(row.place.ambient.pressurePa - row.pressurePa)).toBeLessThan(0.06);
      expect(row.place.ambient.temperatureK).toBeCloseTo(row.temperatureK, 6);
      expect(row.place.ambient.vapourMoleFraction).toBe(0);
    },
  );

  // ICAO Doc 7488 relation (recomputed from its formula): a report of 1030 hPa at 1524 m is 857.509 hPa, 995 hPa at 1000 m 882.187 hPa.
  it.each([
    { altitudeM: 1524, seaLevelPa: 103_000, stationPa: 85_750.9 },
    { altitudeM: 1000, seaLevelPa: 99_500, stationPa: 88_218.7 },
  ])('the pressure of the day, $seaLevelPa Pa at sea level, carried up to $altitudeM m', (row) => {
    const made = standardPlace(row.altitudeM, { ...rule, seaLevelPressurePa: row.seaLevelPa });
    if (!made.ok) throw new Error(made.message);
    expect(Math.abs(made.place.ambient.pressurePa - row.stationPa)).toBeLessThan(0.5);
  });

  it('temperature rules: standard, the deviation of the day held, or one temperature everywhere', () => {
    const temperatureAt = (altitudeM: number, temperature: Parameters<typeof standardPlace>[1]['temperature']) => {
      const made = standardPlace(altitudeM, { temperature, relativeHumidity: 0.3 });
      return made.ok ? made.place.ambient.temperatureK : Number.NaN;
    };
    expect(temperatureAt(2000, { kind: 'standard' })).toBeCloseTo(275.15, 9);
    expect(temperatureAt(2000, { kind: 'deviation-held', deviationK: 15 })).toBeCloseTo(290.15, 9);
    expect(temperatureAt(2000, { kind: 'same', temperatureK: 305 })).toBe(305);
  });

  it('says why there is no place', () => {
    expect(standardPlace(7000, rule)).toMatchObject({ ok: false, message: expect.stringContaining('6000 m') });
    expect(standardPlace(0, { ...rule, relativeHumidity: 1.2 })).toMatchObject({ ok: false });
    expect(standardPlace(Number.NaN, rule)).toMatchObject({ ok: false });
    expect(standardPlace(0, { ...rule, seaLevelPressurePa: -5 })).toMatchObject({ ok: false });
  });
});

describe('pressure ratio over altitude by hand from the published pressures', () => {
  it('for an absolute pressure of 201,325 Pa held', () => {
    const goal = { kind: 'manifold-pressure', curve: [{ engineSpeedRpm: 3000, value: 201_325 }] } as const;
    const found = ratios(holdGoal(plainInput({ goal }), { places, engineSpeedsRpm: [4500] }));
    for (const [i, row] of TABLE.entries()) expect(Math.abs(found[i]! - row.absolute)).toBeLessThan(1e-5);
  });

  it('for a gauge boost of 100,000 Pa held', () => {
    const found = ratios(holdGoal(plainInput(), { places, engineSpeedsRpm: [4500] }));
    for (const [i, row] of TABLE.entries()) expect(Math.abs(found[i]! - row.gauge)).toBeLessThan(1e-5);
  });

  it('both at once, from the same target at sea level', () => {
    const { gauge, absolute, targetManifoldPressurePa } = compareControllers(plainInput(), {
      places,
      engineSpeedsRpm: [4500],
    });
    expect(targetManifoldPressurePa[0]).toBeCloseTo(201_325, 1);
    for (const [i, row] of TABLE.entries()) {
      expect(Math.abs(ratios(gauge)[i]! - row.gauge)).toBeLessThan(1e-5);
      expect(Math.abs(ratios(absolute)[i]! - row.absolute)).toBeLessThan(1e-5);
    }
  });
});
