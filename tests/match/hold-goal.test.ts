import { describe, expect, it } from 'vitest';
import { demoBuild } from '../../src/build/demo.ts';
import { toMatchInput } from '../../src/build/index.ts';
import {
  compareControllers,
  type HeldGoal,
  holdGoal,
  type MatchInput,
  type OperatingPointSolved,
  type Place,
  type PlaceRule,
  type StudyLimits,
  solveOperatingLine,
  standardPlace,
} from '../../src/match/index.ts';
import { holdsAll } from './brute-ceiling.ts';
import { exampleInput } from './example-input.ts';
import { HEAD_EXPONENT, plainInput, RPM_PER_ROOT_HEAD } from './straight-map.ts';

const rule: PlaceRule = { temperature: { kind: 'standard' }, relativeHumidity: 0.3 };
const constant = (value: number) => [{ engineSpeedRpm: 3000, value }];

function placeAt(altitudeM: number, r: PlaceRule = rule): Place {
  const made = standardPlace(altitudeM, r, `${altitudeM} m`);
  if (!made.ok) throw new Error(made.message);
  return made.place;
}

const places = [0, 500, 1000, 1500, 2000, 2500, 3000].map((altitudeM) => placeAt(altitudeM));
const SPEEDS = [3500, 4500, 5500, 6500];

function solved(held: HeldGoal, p: number, k: number): OperatingPointSolved {
  const point = held.cells[p]![k]!.point;
  if (point.status !== 'ok') throw new Error(point.message);
  return point;
}

// Common practice, no source: what every calibrator who has driven over a pass knows.
describe('holding a goal over altitude', () => {
  const base = exampleInput({ goal: { kind: 'gauge-boost', curve: constant(80_000) } });

  it('the same gauge boost takes more shaft speed the higher the place, and gives less power', () => {
    const held = holdGoal(base, { places, engineSpeedsRpm: SPEEDS });
    for (let p = 1; p < places.length; p++) {
      for (const k of SPEEDS.keys()) {
        expect(solved(held, p, k).shaftSpeedRpm).toBeGreaterThan(solved(held, p - 1, k).shaftSpeedRpm);
        expect(solved(held, p, k).brakePowerW).toBeLessThan(solved(held, p - 1, k).brakePowerW);
      }
    }
  });

  it('the same power takes more shaft speed the higher the place, and more of it than the same gauge boost', () => {
    const curve = [
      { engineSpeedRpm: 3500, value: 110_000 },
      { engineSpeedRpm: 6500, value: 205_000 },
    ];
    const goal = { kind: 'brake-power', curve } as const;
    const power = holdGoal({ ...base, goal }, { places, engineSpeedsRpm: SPEEDS });
    const { gauge } = compareControllers({ ...base, goal }, { places, engineSpeedsRpm: SPEEDS });
    for (let p = 1; p < places.length; p++) {
      for (const k of SPEEDS.keys()) {
        expect(solved(power, p, k).shaftSpeedRpm).toBeGreaterThan(solved(power, p - 1, k).shaftSpeedRpm);
        expect(solved(power, p, k).shaftSpeedRpm).toBeGreaterThan(solved(gauge, p, k).shaftSpeedRpm);
        expect(solved(power, p, k).brakePowerW).toBeCloseTo(solved(power, 0, k).brakePowerW, 1);
      }
    }
  });

  it('each cell is the operating line at that place', () => {
    const held = holdGoal(base, { places, engineSpeedsRpm: SPEEDS });
    const water = { ...base.chargePath.cooler, medium: 'water' as const };
    const wet = { ...base, chargePath: { ...base.chargePath, cooler: water } };
    const wetHeld = holdGoal(wet, { places, engineSpeedsRpm: SPEEDS });
    for (const [p, place] of places.entries()) {
      const { ambient } = place;
      const withWater = { ...wet, ambient, engineSpeedsRpm: SPEEDS };
      expect(wetHeld.cells[p]!.map((cell) => cell.point)).toEqual(
        solveOperatingLine({ ...withWater, limits: wetHeld.limits }),
      );
      // The air that cools the charge is as much colder as the day is: the rise over ambient stays.
      const rise = 298.15 - 293.15;
      const air = { kind: 'cooler', effectiveness: 0.7, coolantTemperatureK: ambient.temperatureK + rise } as const;
      const withAir = { ...base, ambient, engineSpeedsRpm: SPEEDS, limits: held.limits };
      const line = solveOperatingLine({ ...withAir, chargePath: { ...base.chargePath, cooler: air } });
      for (const [k, point] of line.entries()) {
        if (point.status !== 'ok') throw new Error(point.message);
        expect(solved(held, p, k).shaftSpeedRpm).toBeCloseTo(point.shaftSpeedRpm, 3);
      }
    }
  });
});

describe('the altitude at which a limit is crossed', () => {
  it('by hand on the straight map, for a gauge and an absolute goal held at one temperature', () => {
    const limits = { shaftSpeedRpm: 132_000 };
    const same: PlaceRule = { temperature: { kind: 'same', temperatureK: 288.15 }, relativeHumidity: 0 };
    const theta = 287.0525 / 287.05;
    const ratio = (1 + (132_000 / Math.sqrt(theta) / RPM_PER_ROOT_HEAD) ** 2) ** (1 / HEAD_EXPONENT);
    // Hand calculation: p0 at which the ratio is reached, and the altitude of that pressure by the standard atmosphere turned round.
    const altitudeOf = (p0: number) => (288.15 / 0.0065) * (1 - (p0 / 101_325) ** (1 / 5.25588));
    const cases = [
      { goal: { kind: 'gauge-boost', curve: constant(110_000) }, p0: 110_000 / (ratio - 1) },
      { goal: { kind: 'manifold-pressure', curve: constant(211_325) }, p0: 211_325 / ratio },
    ] as const;
    for (const { goal, p0 } of cases) {
      const { crossings, firstCrossing } = holdGoal(plainInput({ goal }), {
        places: [],
        limits,
        altitude: { rule: same, fromM: 0, toM: 5000 },
      });
      const byHand = altitudeOf(p0);
      expect(byHand).toBeGreaterThan(200);
      expect(byHand).toBeLessThan(4800);
      for (const crossing of crossings) {
        expect(crossing).toMatchObject({ status: 'crossed', limit: 'shaft-speed' });
        expect(Math.abs(crossing.altitudeM! - byHand)).toBeLessThan(2);
        expect(crossing.holdsBetweenM).toEqual([[0, crossing.altitudeM]]);
      }
      expect(firstCrossing!.altitudeM).toBe(Math.min(...crossings.map((crossing) => crossing.altitudeM!)));
    }
  });

  it.each([0, 1])(
    'demo candidate %d: a few metres below everything holds, a few above something does not',
    (candidate) => {
      const input = toMatchInput(demoBuild(), candidate);
      const altitude = { rule, fromM: 0, toM: 5000 };
      const held = holdGoal(input, { places: [], engineSpeedsRpm: SPEEDS, altitude });
      const topLine = input.compressor.highestLineRpm;
      const at = (altitudeM: number, rpm: number, limits: StudyLimits) => {
        const { cells } = holdGoal(input, { places: [placeAt(altitudeM)], engineSpeedsRpm: [rpm] });
        const { point } = cells[0]![0]!;
        return point.status === 'no-compression' || holdsAll(point, limits, topLine);
      };
      for (const { status, altitudeM, engineSpeedRpm, limit, holdsBetweenM } of held.crossings) {
        if (status === 'holds') {
          expect([0, 1000, 2500, 5000].every((h) => at(h, engineSpeedRpm, held.limits))).toBe(true);
          expect(limit).toBeNull();
        } else if (status === 'crossed') {
          expect(at(altitudeM! - 3, engineSpeedRpm, held.limits)).toBe(true);
          expect(at(altitudeM! + 3, engineSpeedRpm, held.limits)).toBe(false);
          expect(limit).not.toBeNull();
        } else {
          expect(altitudeM).toBe(0);
          expect(at(0, engineSpeedRpm, held.limits)).toBe(false);
        }
        for (const [from, to] of holdsBetweenM) expect(at((from + to) / 2, engineSpeedRpm, held.limits)).toBe(true);
      }
      expect(held.crossings.some((crossing) => crossing.status === 'crossed')).toBe(true);
    },
  );

  it('holds where nothing is asked, and says bad-input where no air can be made', () => {
    const easy = plainInput({ goal: { kind: 'gauge-boost', curve: constant(20_000) } });
    const altitude = { rule, fromM: 0, toM: 3000 };
    const held = holdGoal(easy, { places: [], limits: { shaftSpeedRpm: 150_000 }, altitude });
    expect(held.crossings.map((crossing) => crossing.status)).toEqual(['holds', 'holds', 'holds']);
    expect(held.firstCrossing).toBeNull();
    const nowhere = holdGoal(easy, { places: [], altitude: { ...altitude, fromM: 5000, toM: 9000 } });
    expect(nowhere.crossings[0]!.limit).toBe('bad-input');
  });
});

describe('compareControllers', () => {
  const input: MatchInput = exampleInput({ goal: { kind: 'gauge-boost', curve: constant(80_000) } });
  const compared = compareControllers(input, { places, engineSpeedsRpm: SPEEDS });
  const KEYS = [
    'manifoldPressurePa',
    'pressureRatio',
    'shaftSpeedRpm',
    'brakePowerW',
    'compressorOutletTemperatureK',
  ] as const;
  /** Absolute minus gauge at a place, by engine speed. */
  const differences = (place: number) =>
    SPEEDS.map((_, k) => {
      const [absolute, gauge] = [solved(compared.absolute, place, k), solved(compared.gauge, place, k)];
      return Object.fromEntries(KEYS.map((key) => [key, absolute[key] - gauge[key]])) as Record<
        (typeof KEYS)[number],
        number
      >;
    });

  it('both are the same at the first place', () => {
    for (const d of differences(0)) {
      expect(Math.abs(d.manifoldPressurePa)).toBeLessThan(1e-6);
      expect(Math.abs(d.shaftSpeedRpm)).toBeLessThan(0.01);
    }
  });

  // Common practice, no source.
  it('higher up, holding absolute pressure keeps pressure and power and costs shaft speed and temperature', () => {
    for (let p = 1; p < places.length; p++) {
      for (const [k, d] of differences(p).entries()) {
        const before = differences(p - 1)[k]!;
        // Hand calculation: exactly the pressure that the air has lost.
        const lost = places[0]!.ambient.pressurePa - places[p]!.ambient.pressurePa;
        expect(d.manifoldPressurePa).toBeCloseTo(lost, 5);
        for (const key of ['pressureRatio', 'shaftSpeedRpm', 'brakePowerW', 'compressorOutletTemperatureK'] as const) {
          expect(d[key]).toBeGreaterThan(before[key]);
        }
      }
    }
  });

  it('takes its target from a power goal as well, and leaves out engine speeds without one', () => {
    const curve = [
      { engineSpeedRpm: 4500, value: 150_000 },
      { engineSpeedRpm: 5500, value: 180_000 },
    ];
    const goal = { kind: 'brake-power', curve } as const;
    const power = compareControllers({ ...input, goal }, { places, engineSpeedsRpm: [1500, 4500, 5500] });
    expect(power.withoutTargetRpm).toEqual([1500]);
    expect(power.engineSpeedsRpm).toEqual([4500, 5500]);
    expect(solved(power.absolute, 0, 0).brakePowerW).toBeCloseTo(150_000, 0);
    expect(solved(power.gauge, 0, 1).brakePowerW).toBeCloseTo(180_000, 0);
    expect(solved(power.gauge, 5, 1).brakePowerW).toBeLessThan(170_000);
  });
});
