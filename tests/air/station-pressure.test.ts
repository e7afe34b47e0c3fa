import { describe, expect, it } from 'vitest';
import { standardAtmosphere, stationPressure, stationToSeaLevel } from '../../src/air/index.ts';

describe('standardAtmosphere', () => {
  it('answers from -500 to 6000 m and nowhere else', () => {
    expect(standardAtmosphere(-500)).not.toBeNull();
    expect(standardAtmosphere(6000)).not.toBeNull();
    expect(standardAtmosphere(-501)).toBeNull();
    expect(standardAtmosphere(6001)).toBeNull();
    expect(standardAtmosphere(Number.NaN)).toBeNull();
  });
});

describe('stationPressure', () => {
  it('takes the standard atmosphere, the reading as it is, and the report reduced back', () => {
    expect(stationPressure({ kind: 'standard', altitudeM: 1500 })).toMatchObject({
      ok: true,
      pressurePa: standardAtmosphere(1500)!.pressurePa,
    });
    expect(stationPressure({ kind: 'read-on-site', altitudeM: 1500, pressurePa: 84_000 })).toEqual({
      ok: true,
      pressurePa: 84_000,
    });
    const report = stationPressure({ kind: 'weather-report', altitudeM: 1500, pressurePa: 101_325 });
    expect(report.ok && report.pressurePa).toBeCloseTo(standardAtmosphere(1500)!.pressurePa, 6);
  });

  it('turns back what it reduced, to the last digits', () => {
    for (let altitudeM = -500; altitudeM <= 6000; altitudeM += 100) {
      const p = standardAtmosphere(altitudeM)!.pressurePa * 1.013;
      const back = stationPressure({ kind: 'weather-report', altitudeM, pressurePa: stationToSeaLevel(p, altitudeM) });
      expect(back.ok && Math.abs(back.pressurePa / p - 1)).toBeLessThan(1e-12);
    }
  });

  it.each([
    ['read-on-site', 1500, 101_800, 'looks-like-weather-report'],
    ['weather-report', 1500, 84_600, 'looks-like-read-on-site'],
    ['read-on-site', 2000, 60_000, 'cannot-belong-to-altitude'],
    ['weather-report', 0, 14.7, 'cannot-belong-to-altitude'],
  ] as const)('warns of a mix-up: %s at %d m, %d Pa: %s', (kind, altitudeM, pressurePa, code) => {
    const result = stationPressure({ kind, altitudeM, pressurePa });
    if (!result.ok) expect(result.reason).toBe('pressure-impossible');
    else expect(result.warning).toMatchObject({ code });
  });

  it('keeps quiet over any usual weather, at any altitude', () => {
    for (const altitudeM of [-300, 0, 200, 800, 1600, 2500, 4000]) {
      for (const reportPa of [97_000, 99_000, 101_325, 103_500, 104_500]) {
        const report = stationPressure({ kind: 'weather-report', altitudeM, pressurePa: reportPa });
        expect(report.ok && report.warning).toBeUndefined();
        const reading = report.ok ? report.pressurePa : Number.NaN;
        const onSite = stationPressure({ kind: 'read-on-site', altitudeM, pressurePa: reading });
        expect(onSite.ok && onSite.warning).toBeUndefined();
      }
    }
  });

  it.each([
    [{ kind: 'read-on-site', altitudeM: 0 }, 'pressure-missing'],
    [{ kind: 'read-on-site', altitudeM: 0, pressurePa: Number.NaN }, 'pressure-missing'],
    [{ kind: 'read-on-site', altitudeM: 0, pressurePa: -5 }, 'pressure-impossible'],
    [{ kind: 'weather-report', altitudeM: 3000, pressurePa: 0.001 }, 'pressure-impossible'],
    [{ kind: 'standard', altitudeM: 9000 }, 'altitude-out-of-range'],
  ] as const)('says why there is none: %o', (input, reason) => {
    const result = stationPressure(input);
    expect(result).toMatchObject({ ok: false, reason });
    if (!result.ok) expect(result.message).toMatch(/^[A-Z].*\.$/);
  });
});
