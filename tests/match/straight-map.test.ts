import { describe, expect, it } from 'vitest';
import { type CeilingFound, ownPlace, type StudyLimits, solveCeilings, standardPlace } from '../../src/match/index.ts';
import { HEAD_EXPONENT, plainInput, RPM_PER_ROOT_HEAD } from './straight-map.ts';

/** Hand calculation throughout. R of dry air: 8.31451 / 0.0289651 = 287.0525 J/(kg K); maps refer to 287.05. */
const R = 287.0525;

function ceilings(limits: StudyLimits, altitudeM = 0): { found: CeilingFound[]; ambientPa: number; ambientK: number } {
  const made = standardPlace(altitudeM, { temperature: { kind: 'standard' }, relativeHumidity: 0 });
  if (!made.ok) throw new Error(made.message);
  const { cells } = solveCeilings(plainInput(), [made.place], undefined, limits);
  const found = cells[0]!.filter((cell) => cell.status === 'ok');
  expect(found).toHaveLength(3);
  return { found, ambientPa: made.place.ambient.pressurePa, ambientK: made.place.ambient.temperatureK };
}

describe('ceilings of constant efficiency on a straight map, against hand calculation', () => {
  it.each([0, 1000, 2500, 4000])('shaft speed at %d m: PR = (1 + (Nc/k)^2)^3.5', (altitudeM) => {
    const limits = { shaftSpeedRpm: 150_000, shaftSpeedReserve: 0.04 };
    const { found, ambientPa, ambientK } = ceilings(limits, altitudeM);
    const corrected = (150_000 * 0.96) / Math.sqrt((R * ambientK) / (287.05 * 288.15));
    const byHand = ambientPa * (1 + (corrected / RPM_PER_ROOT_HEAD) ** 2) ** (1 / HEAD_EXPONENT);
    for (const cell of found) {
      expect(cell.binding).toBe('shaft-speed');
      expect(Math.abs(cell.manifoldPressurePa - byHand)).toBeLessThan(5);
      expect(cell.point.shaftSpeedRpm / 144_000).toBeCloseTo(1, 5);
      expect(cell.gaugeBoostPa).toBeCloseTo(cell.manifoldPressurePa - ambientPa, 6);
    }
  });

  it('power: p = P bsfc lambda AFR R Tm 120 / (eta_v Vd n)', () => {
    const { found } = ceilings({ brakePowerW: 150_000 });
    // AFR of CH1.87 from its formula: 14.603 (check against tests/published/engine.test.ts).
    const air = (150_000 * (300 / 3.6e9) * 0.85 * 14.603) as number;
    for (const cell of found) {
      expect(cell.binding).toBe('brake-power');
      const byHand = (air * R * 310 * 120) / (0.9 * 2e-3 * cell.engineSpeedRpm);
      expect(cell.manifoldPressurePa / byHand).toBeCloseTo(1, 4);
    }
  });

  it('outlet temperature: T02 = T01 (1 + (PR^(2/7) - 1)/eta) within what variable heat capacity changes', () => {
    const { found, ambientPa } = ceilings({ compressorOutletTemperatureK: 420 });
    const ratio = (1 + (420 / 288.15 - 1) * 0.72) ** (1 / HEAD_EXPONENT);
    for (const cell of found) {
      expect(cell.binding).toBe('outlet-temperature');
      // cp rises by 1 % over this range, so constant gamma 1.4 is good to about 1 %.
      expect(Math.abs(cell.manifoldPressurePa / (ratio * ambientPa) - 1)).toBeLessThan(0.012);
      expect(cell.point.compressorOutletTemperatureK).toBeCloseTo(420, 3);
    }
  });

  it('the end of the map: PR = (1 + (190,000/k)^2)^3.5, named above-map', () => {
    const input = plainInput();
    const byHand = 101_325 * (1 + (190_000 / RPM_PER_ROOT_HEAD) ** 2) ** (1 / HEAD_EXPONENT);
    for (const cell of solveCeilings(input, [ownPlace(input)]).cells[0]!) {
      expect(cell).toMatchObject({ status: 'ok', binding: 'above-map' });
      if (cell.status === 'ok') expect(Math.abs(cell.manifoldPressurePa - byHand)).toBeLessThan(5);
    }
  });

  it('the tightest of several limits binds', () => {
    const each: StudyLimits[] = [
      { shaftSpeedRpm: 140_000 },
      { compressorOutletTemperatureK: 400 },
      { manifoldPressurePa: 230_000 },
      { brakePowerW: 140_000 },
    ];
    const alone = each.map((limits) => ceilings(limits).found);
    const together = ceilings(Object.assign({}, ...each)).found;
    for (const [k, cell] of together.entries()) {
      const tightest = alone
        .map((cells) => cells[k]!)
        .reduce((a, b) => (b.manifoldPressurePa < a.manifoldPressurePa ? b : a));
      expect(cell.binding).toBe(tightest.binding);
      expect(Math.abs(cell.manifoldPressurePa - tightest.manifoldPressurePa)).toBeLessThan(3);
    }
  });
});
