import { describe, expect, it } from 'vitest';
import { demoBuild } from '../../src/build/demo.ts';
import { toMatchInput } from '../../src/build/index.ts';
import {
  type Ceiling,
  findings,
  joinCeilings,
  lowestHeldPressure,
  type MatchInput,
  ownPlace,
  type Place,
  type StudyLimits,
  solveCeilings,
  solveOperatingLine,
  standardPlace,
} from '../../src/match/index.ts';
import { bruteCeiling, holdsAll, pointAt } from './brute-ceiling.ts';
import { exampleInput } from './example-input.ts';
import { generator, randomInput } from './random-builds.ts';
import { soundBuild } from './sound-build.ts';

const TENTH_KPA = 100;

function ceilingsOf(input: MatchInput, speeds: readonly number[], limits?: StudyLimits): readonly Ceiling[] {
  return solveCeilings(input, [ownPlace(input)], speeds, limits).cells[0]!;
}

/** The limits as the study takes them: the map's own shaft speed where none is entered. */
function chosen(input: MatchInput): StudyLimits {
  return { ...input.limits, shaftSpeedRpm: input.limits.shaftSpeedRpm ?? input.compressor.limits.shaftSpeedRpm };
}

/** Air at an altitude with the temperature the same everywhere. */
function place(altitudeM: number, temperatureK = 293.15): Place {
  const made = standardPlace(altitudeM, { temperature: { kind: 'same', temperatureK }, relativeHumidity: 0.4 });
  if (!made.ok) throw new Error(made.message);
  return made.place;
}

describe('against bisection of the full solve', () => {
  it('random builds on closed-form maps: the same to 0.1 kPa, or nothing holds for both', () => {
    const random = generator(41);
    const apart: string[] = [];
    const bindings = new Set<string>();
    for (let build = 0; build < 70; build++) {
      const input = soundBuild(random);
      for (const cell of ceilingsOf(input, input.engineSpeedsRpm.slice(0, 2))) {
        const brute = bruteCeiling(input, cell.engineSpeedRpm, chosen(input));
        const found = cell.status === 'ok' ? cell.manifoldPressurePa : null;
        bindings.add(`${cell.status} ${cell.binding}`);
        if (!(Math.abs((brute ?? 0) - (found ?? 0)) <= TENTH_KPA)) {
          apart.push(`build ${build}, ${cell.engineSpeedRpm} rpm: brute ${brute}, found ${found}, ${cell.binding}`);
        }
      }
    }
    expect(apart).toEqual([]);
    for (const limit of ['shaft-speed', 'surge-margin', 'outlet-temperature', 'manifold-pressure', 'brake-power']) {
      expect(bindings, limit).toContain(`ok ${limit}`);
    }
  });

  it.each([0, 1])('the demo build, candidate %d, from sea level to 3000 m: the same to 0.1 kPa', (candidate) => {
    const input = toMatchInput(demoBuild(), candidate);
    for (const altitudeM of [0, 1500, 3000]) {
      const here = { ...input, ambient: place(altitudeM).ambient };
      // Its own cooler is an air cooler whose rise over ambient is kept; here the coolant is left as it is on both sides.
      for (const cell of ceilingsOf(here, [2000, 3000, 4200, 5500, 6600])) {
        const brute = bruteCeiling(here, cell.engineSpeedRpm, chosen(here));
        const found = cell.status === 'ok' ? cell.manifoldPressurePa : null;
        expect(Math.abs((brute ?? 0) - (found ?? 0)), `${altitudeM} m, ${cell.engineSpeedRpm} rpm`).toBeLessThan(
          TENTH_KPA,
        );
      }
    }
  });
});

describe('2,000 random builds', () => {
  const BUILDS = 2000;

  it('every limit holds when a ceiling is fed back, and 0.2 kPa above it one does not', () => {
    const random = generator(2024);
    const faults: string[] = [];
    const bindings = new Map<string, number>();
    for (let build = 0; build < BUILDS && faults.length < 10; build++) {
      const input = soundBuild(random);
      const topLine = input.compressor.highestLineRpm;
      const limits: StudyLimits = { ...chosen(input), stayBelowTopLine: random() < 0.2 };
      const [cell] = ceilingsOf(input, [input.engineSpeedsRpm[0]!], limits) as [Ceiling];
      bindings.set(cell.binding, (bindings.get(cell.binding) ?? 0) + 1);
      const name = `build ${build}, ${cell.engineSpeedRpm} rpm, ${cell.binding}`;
      if (cell.status !== 'ok') continue;
      const p = cell.manifoldPressurePa;
      const fed = pointAt(input, cell.engineSpeedRpm, p);
      if (!holdsAll(fed, limits, topLine)) faults.push(`${name}: a limit is crossed at the ceiling`);
      expect(cell.point, name).toEqual(fed);
      if (holdsAll(pointAt(input, cell.engineSpeedRpm, p + 200), limits, topLine)) {
        faults.push(`${name}: everything holds 0.2 kPa above`);
      }
    }
    expect(faults).toEqual([]);
    for (const binding of ['shaft-speed', 'surge-margin', 'choke-margin', 'above-map', 'right-of-map', 'top-line']) {
      expect(bindings.get(binding), binding).toBeGreaterThan(10);
    }
  });

  it('every limit holds from the lowest held pressure up, and 0.2 kPa below it one does not', () => {
    const random = generator(505);
    const faults: string[] = [];
    let ranges = 0;
    for (let build = 0; build < 600 && faults.length < 10; build++) {
      const input = soundBuild(random);
      const topLine = input.compressor.highestLineRpm;
      const [cell] = ceilingsOf(input, [input.engineSpeedsRpm[0]!]) as [Ceiling];
      if (cell.status !== 'ok') continue;
      const at = (p: number) => holdsAll(pointAt(input, cell.engineSpeedRpm, p), chosen(input), topLine);
      const { manifoldPressurePa: to } = cell;
      const from = lowestHeldPressure(input, chosen(input), ownPlace(input), cell);
      const name = `build ${build}, ${cell.engineSpeedRpm} rpm`;
      if (from < to) ranges++;
      for (const share of [0.02, 0.3, 0.6, 0.9]) {
        if (from < to && !at(from + share * (to - from))) faults.push(`${name}: does not hold at ${share}`);
      }
      if (at(from - 200)) faults.push(`${name}: holds 0.2 kPa below`);
    }
    expect(faults).toEqual([]);
    expect(ranges).toBeGreaterThan(200);
  });

  it('with odd numbers and damaged maps: never NaN, never a limit crossed, always a plain sentence', () => {
    const random = generator(99);
    const faults: string[] = [];
    let found = 0;
    let bad = 0;
    for (let build = 0; build < BUILDS && faults.length < 10; build++) {
      const input = randomInput(random, random() < 0.5 ? 0 : 0.02);
      for (const cell of ceilingsOf(input, input.engineSpeedsRpm.slice(0, 2))) {
        const name = `build ${build}, ${cell.engineSpeedRpm} rpm`;
        if (cell.status === 'ok') {
          found++;
          if (!Number.isFinite(cell.manifoldPressurePa + cell.gaugeBoostPa)) faults.push(`${name}: not a number`);
          const fed = pointAt(input, cell.engineSpeedRpm, cell.manifoldPressurePa);
          if (!holdsAll(fed, chosen(input), input.compressor.highestLineRpm))
            faults.push(`${name}: a limit is crossed`);
        } else {
          if (cell.status === 'bad-input') bad++;
          if (!/^[A-Z].*\.$/.test(cell.message) || cell.message.includes('. ')) faults.push(`${name}: ${cell.message}`);
        }
      }
    }
    expect(faults).toEqual([]);
    expect(found).toBeGreaterThan(BUILDS / 2);
    expect(bad).toBeGreaterThan(50);
  });
});

describe('what binds', () => {
  const input = exampleInput();
  const SPEEDS = [3000, 4000, 5000, 6000, 7000];

  it('a tighter limit never raises a ceiling, and the findings at a ceiling do not speak of a limit', () => {
    const loose: StudyLimits = { shaftSpeedRpm: 150_000, shaftSpeedReserve: 0.02, surgeMargin: 0.1, chokeMargin: 0.05 };
    const before = ceilingsOf(input, SPEEDS, loose);
    const changes: StudyLimits[] = [
      { shaftSpeedRpm: 140_000 },
      { shaftSpeedReserve: 0.08 },
      { surgeMargin: 0.2 },
      { chokeMargin: 0.15 },
      { compressorOutletTemperatureK: 420 },
      { manifoldPressurePa: 190_000 },
      { brakePowerW: 180_000 },
    ];
    for (const change of changes) {
      const limits = { ...loose, ...change };
      for (const [i, cell] of ceilingsOf(input, SPEEDS, limits).entries()) {
        const was = before[i]!;
        if (cell.status !== 'ok' || was.status !== 'ok') continue;
        expect(cell.manifoldPressurePa).toBeLessThanOrEqual(was.manifoldPressurePa + 2);
        const goal = {
          kind: 'manifold-pressure',
          curve: [{ engineSpeedRpm: 3000, value: cell.manifoldPressurePa }],
        } as const;
        const fed = { ...input, goal, limits, engineSpeedsRpm: [cell.engineSpeedRpm] };
        const said = findings(solveOperatingLine(fed), fed).filter((f) => f.severity === 'stop');
        expect(said, `${cell.engineSpeedRpm} rpm`).toEqual([]);
      }
    }
  });

  it('the limit of manifold pressure itself is met exactly', () => {
    const [cell] = ceilingsOf(input, [5000], { manifoldPressurePa: 180_000 }) as [Ceiling];
    expect(cell).toMatchObject({ status: 'ok', manifoldPressurePa: 180_000, binding: 'manifold-pressure' });
  });

  it('without any limit it is the end of the map that binds, under its own name', () => {
    const free = { ...input, compressor: { ...input.compressor, limits: {} } };
    const [slow, middle, fast] = ceilingsOf(free, [2000, 4000, 7000], {}) as [Ceiling, Ceiling, Ceiling];
    // Surge and choke count with a margin of 0 even when nobody asks for one.
    expect(slow).toMatchObject({ status: 'ok', binding: 'surge-margin' });
    expect(middle).toMatchObject({
      status: 'ok',
      binding: 'above-map',
      point: { region: 'above-top-line', extended: true },
    });
    expect(fast).toMatchObject({ status: 'ok' });
    const inside = ceilingsOf(free, [4000], { stayBelowTopLine: true })[0]!;
    expect(inside).toMatchObject({ status: 'ok', binding: 'top-line', point: { region: 'inside' } });
  });

  it('a surge limit may bind from both sides: the ceiling lies above boosts that are left of surge', () => {
    // A surge line that bulges to the right at middling pressure ratio.
    const base = input.compressor;
    const bulge = (rpm: number) => 1 + 0.5 * Math.exp(-(((rpm / 150_000 - 0.62) / 0.07) ** 2));
    const surgeAt: typeof base.surgeAt = (rpm) => {
      const end = base.surgeAt(rpm);
      return end && { ...end, correctedMassFlowKgPerS: end.correctedMassFlowKgPerS * bulge(rpm) };
    };
    const bulged = { ...input, compressor: { ...base, surgeAt } };
    const limits: StudyLimits = { shaftSpeedRpm: 140_000, surgeMargin: 0.05 };
    const rpm = 3200;
    const [cell] = ceilingsOf(bulged, [rpm], limits) as [Ceiling];
    expect(cell.status).toBe('ok');
    if (cell.status !== 'ok') return;
    const at = (p: number) => holdsAll(pointAt(bulged, rpm, p), limits, base.highestLineRpm);
    const below = Array.from({ length: 60 }, (_, i) => at(cell.manifoldPressurePa * (1 - i / 100)));
    expect(below[0]).toBe(true);
    expect(below.slice(0, 40)).toContain(false);
    const brute = bruteCeiling(bulged, rpm, limits);
    expect(Math.abs(cell.manifoldPressurePa - brute!)).toBeLessThan(TENTH_KPA);
  });

  it('a torque limit binds as the power of the same torque does, and falls with engine speed as power does not', () => {
    const speeds = [3500, 5000, 6500];
    const byTorque = ceilingsOf(input, speeds, { torqueNm: 250 });
    for (const [i, rpm] of speeds.entries()) {
      // P = M omega: hand calculation.
      const [byPower] = ceilingsOf(input, [rpm], { brakePowerW: (250 * 2 * Math.PI * rpm) / 60 }) as [Ceiling];
      const ceiling = byTorque[i]!;
      if (ceiling.status !== 'ok' || byPower.status !== 'ok') throw new Error('a ceiling expected');
      expect(ceiling.binding).toBe('torque');
      expect(byPower.binding).toBe('brake-power');
      expect(ceiling.manifoldPressurePa).toBeCloseTo(byPower.manifoldPressurePa, 3);
      expect(ceiling.point.torqueNm).toBeLessThanOrEqual(250);
    }
  });

  it('names why nothing holds', () => {
    const [low] = ceilingsOf(input, [5000], { manifoldPressurePa: 50_000 }) as [Ceiling];
    expect(low).toMatchObject({ status: 'none-holds', binding: 'manifold-pressure' });
    const [weak] = ceilingsOf(input, [5000], { brakePowerW: 10_000 }) as [Ceiling];
    expect(weak).toMatchObject({ status: 'none-holds', binding: 'brake-power' });
    const [short] = ceilingsOf(input, [5000], { torqueNm: 20 }) as [Ceiling];
    expect(short).toMatchObject({ status: 'none-holds', binding: 'torque' });
    const small = { ...input, engine: { ...input.engine, displacementM3: 12e-3 } };
    const [big] = ceilingsOf(small, [6000]) as [Ceiling];
    expect(big.status).toBe('none-holds');
    expect(['right-of-map', 'choke-margin']).toContain(big.binding);
    const [bad] = ceilingsOf({ ...input, engine: { ...input.engine, displacementM3: 0 } }, [5000]) as [Ceiling];
    expect(bad).toMatchObject({ status: 'bad-input', message: expect.stringContaining('Displacement') });
  });
});

describe('over altitude', () => {
  const input = exampleInput();
  const places = [0, 500, 1000, 1500, 2000, 2500, 3000].map((altitudeM) => place(altitudeM));
  const SPEEDS = [4000, 5000, 6000];

  // At the same inlet temperature a shaft speed is a corrected speed: pressure ratio is capped, and so is gauge boost, all the lower
  // the less pressure there is to multiply.
  it('in gauge, the ceiling of a shaft-speed limit falls with altitude at the same inlet temperature', () => {
    const limits: StudyLimits = { shaftSpeedRpm: 125_000 };
    const { cells } = solveCeilings(input, places, SPEEDS, limits);
    for (let i = 1; i < places.length; i++) {
      for (const [k, cell] of cells[i]!.entries()) {
        const lower = cells[i - 1]![k]!;
        if (cell.status !== 'ok' || lower.status !== 'ok') throw new Error('no ceiling');
        expect(cell.binding).toBe('shaft-speed');
        expect(cell.gaugeBoostPa).toBeLessThan(lower.gaugeBoostPa);
        expect(cell.manifoldPressurePa).toBeLessThan(lower.manifoldPressurePa);
        expect(cell.point.shaftSpeedRpm).toBeCloseTo(125_000, -1);
      }
    }
  });

  it('parts solved apart and joined are the table solved at once', () => {
    const whole = solveCeilings(input, places, SPEEDS);
    const parts = [places.slice(0, 3), places.slice(3)].map((some) => solveCeilings(input, some, SPEEDS));
    expect(joinCeilings(parts)).toEqual(whole);
    expect(joinCeilings([])).toBeNull();
  });
});
