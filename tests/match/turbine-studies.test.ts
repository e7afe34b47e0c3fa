import { describe, expect, it } from 'vitest';
import { demoBuild } from '../../src/build/demo.ts';
import { toMatchInput } from '../../src/build/index.ts';
import {
  type Ceiling,
  holdGoal,
  type MatchInput,
  ownPlace,
  type PlaceRule,
  type StudyLimits,
  solveCeilings,
  solveOperatingLine,
  solveSpread,
  standardPlace,
  type Tolerances,
  USUAL_TOLERANCES,
} from '../../src/match/index.ts';
import { bruteCeiling, holdsAll, pointAt } from './brute-ceiling.ts';
import { exampleInput } from './example-input.ts';
import { generator } from './random-builds.ts';
import { randomTurbine } from './random-turbine.ts';
import { soundBuild } from './sound-build.ts';
import { typicalTurbine } from './typical-turbine.ts';

const TENTH_KPA = 100;
const constant = (value: number) => [{ engineSpeedRpm: 3000, value }];
const rule: PlaceRule = { temperature: { kind: 'standard' }, relativeHumidity: 0.4 };

function ceilingsOf(input: MatchInput, speeds: readonly number[], limits?: StudyLimits): readonly Ceiling[] {
  return solveCeilings(input, [ownPlace(input)], speeds, limits).cells[0]!;
}

function chosen(input: MatchInput): StudyLimits {
  return { ...input.limits, shaftSpeedRpm: input.limits.shaftSpeedRpm ?? input.compressor.limits.shaftSpeedRpm };
}

function placeAt(altitudeM: number) {
  const made = standardPlace(altitudeM, rule);
  if (!made.ok) throw new Error(made.message);
  return made.place;
}

describe('ceilings with a turbine', () => {
  it('random builds: the same as a dense scan of the whole solve, to 0.1 kPa, or nothing holds for both', () => {
    const random = generator(4141);
    const apart: string[] = [];
    const bindings = new Set<string>();
    for (let build = 0; build < 30; build++) {
      const drawn = soundBuild(random);
      const limits = {
        ...drawn.limits,
        backPressureRatio: random() < 0.5 ? undefined : 0.9 + random(),
        turbineInletTemperatureK: random() < 0.7 ? undefined : 1000 + 300 * random(),
      };
      const turbine = randomTurbine(random, drawn);
      const litres = drawn.engine.displacementM3 * 1e3;
      const sized = { ...turbine, capacityFactor: (0.5 + 1.2 * random()) * litres * 0.5 };
      const input: MatchInput = { ...drawn, limits, turbine: sized };
      for (const cell of ceilingsOf(input, input.engineSpeedsRpm.slice(0, 2))) {
        bindings.add(`${cell.status} ${cell.binding}`);
        if (cell.binding === 'bad-input') continue;
        const brute = bruteCeiling(input, cell.engineSpeedRpm, chosen(input));
        const found = cell.status === 'ok' ? cell.manifoldPressurePa : null;
        // What holds over less than a step of the scan may be seen by the search alone: then it must hold there, and not above.
        const holds = (p: number) =>
          holdsAll(pointAt(input, cell.engineSpeedRpm, p), chosen(input), input.compressor.highestLineRpm);
        if (brute === null && found !== null && holds(found) && !holds(found + TENTH_KPA)) continue;
        if (!(Math.abs((brute ?? 0) - (found ?? 0)) <= TENTH_KPA)) {
          apart.push(`build ${build}, ${cell.engineSpeedRpm} rpm: brute ${brute}, found ${found}, ${cell.binding}`);
        }
      }
    }
    expect(apart).toEqual([]);
    for (const limit of ['ok turbine', 'ok back-pressure', 'none-holds turbine-temperature', 'ok outlet-temperature']) {
      expect(bindings, limit).toContain(limit);
    }
  });

  const speeds = [2200, 2600, 3000, 3400];
  const large = exampleInput({ turbine: typicalTurbine(2.6), limits: {} });

  it('bind at the turbine exactly where the shut gate comes to rest: the line with a goal out of reach', () => {
    const goal = { kind: 'gauge-boost', curve: constant(170_000) } as const;
    const limited = solveOperatingLine({ ...large, goal, engineSpeedsRpm: speeds });
    const ceilings = ceilingsOf(large, speeds);
    let compared = 0;
    for (const [i, cell] of ceilings.entries()) {
      const point = limited[i]!;
      if (point.status !== 'ok' || point.turbine?.heldBy !== 'turbine') continue;
      // Less than the surge end is no ceiling: left of surge another limit binds.
      if (cell.status !== 'ok' || cell.binding !== 'turbine') continue;
      compared++;
      expect(Math.abs(cell.manifoldPressurePa - point.manifoldPressurePa)).toBeLessThan(20);
      expect(cell.point.wastegateShare!).toBeGreaterThanOrEqual(0);
      expect(cell.point.wastegateShare!).toBeLessThan(1e-3);
    }
    expect(compared).toBeGreaterThanOrEqual(2);
  });

  it('a limit of p3/p_m binds where the ratio comes to it: the ceiling has just that ratio', () => {
    const small = exampleInput({ turbine: typicalTurbine(1.3), limits: { shaftSpeedReserve: 0 } });
    const free = ceilingsOf(small, [5500, 6500]);
    for (const [i, n] of [5500, 6500].entries()) {
      const cell = free[i]!;
      if (cell.status !== 'ok') throw new Error(cell.message);
      const ratio = cell.point.backPressureRatio!;
      const held = ceilingsOf(small, [n], { ...small.limits, backPressureRatio: ratio - 0.02 })[0]!;
      // p3/p_m need not rise with boost: where it falls, less boost has more of it, and nothing holds.
      const half = pointAt(small, n, 0.95 * cell.manifoldPressurePa);
      if (half.status === 'ok' && half.backPressureRatio! > ratio) {
        expect(held.status).not.toBe('ok');
        continue;
      }
      if (held.status !== 'ok') throw new Error(held.message);
      expect(held.binding).toBe('back-pressure');
      expect(held.point.backPressureRatio).toBeCloseTo(ratio - 0.02, 4);
    }
  });

  it('a limit of the turbine inlet temperature does not depend on boost: everything holds, or nothing and it is named', () => {
    const turbine = typicalTurbine(1.7, {
      inletTemperatureK: [
        { engineSpeedRpm: 2000, value: 1050 },
        { engineSpeedRpm: 7000, value: 1250 },
      ],
    });
    const input = exampleInput({ turbine });
    const cells = ceilingsOf(input, [3000, 4000, 5000, 6000, 6900], {
      ...input.limits,
      turbineInletTemperatureK: 1200,
    });
    const plain = ceilingsOf(input, [3000, 4000, 5000, 6000, 6900]);
    // 1200 K is passed at 5750 rpm (hand calculation: 2000 + 150/200 of 5000).
    expect(cells.map((cell) => cell.status)).toEqual(['ok', 'ok', 'ok', 'none-holds', 'none-holds']);
    expect(cells.slice(3).map((cell) => cell.binding)).toEqual(['turbine-temperature', 'turbine-temperature']);
    for (const i of [0, 1, 2]) {
      const [a, b] = [cells[i]!, plain[i]!];
      if (a.status !== 'ok' || b.status !== 'ok') throw new Error('no ceiling');
      expect(Math.abs(a.manifoldPressurePa - b.manifoldPressurePa)).toBeLessThan(10);
    }
  });

  it('never lie higher with a turbine than without, but for what back-pressure does to the flow', () => {
    // The one thing that a turbine adds to what holds is less flow; with the efficiency measured at very low back-pressure it is never more.
    const { turbine: _none, ...plain } = exampleInput({ limits: { shaftSpeedRpm: 130_000 } });
    for (const size of [1.6, 2, 2.5]) {
      const driven = ceilingsOf({ ...plain, turbine: typicalTurbine(size) }, speeds);
      for (const [i, cell] of ceilingsOf(plain, speeds).entries()) {
        const other = driven[i]!;
        if (other.status !== 'ok' || cell.status !== 'ok' || other.binding !== 'turbine') continue;
        expect(other.manifoldPressurePa).toBeLessThan(cell.manifoldPressurePa);
      }
    }
  });

  // A fault that a random build showed: the reach of the map was read off its highest line alone, and without an answer there no ceiling was
  // looked for above a pressure ratio of 1.07.
  it('are found on a map that has no answer on its very highest line', () => {
    const { compressor } = large;
    const on: typeof compressor.on = (rpm, beta) =>
      rpm >= compressor.highestAnswerRpm ? null : compressor.on(rpm, beta);
    const cut = ceilingsOf({ ...large, compressor: { ...compressor, on } }, speeds);
    for (const [i, cell] of ceilingsOf(large, speeds).entries()) {
      const other = cut[i]!;
      expect(other.status).toBe(cell.status);
      if (cell.status !== 'ok' || other.status !== 'ok') continue;
      expect(Math.abs(other.manifoldPressurePa - cell.manifoldPressurePa)).toBeLessThan(10);
    }
  });

  it('fall with altitude where the turbine binds, in absolute pressure', () => {
    const places = [0, 800, 1600, 2400].map(placeAt);
    const { cells } = solveCeilings(large, places, [3000]);
    const pressures = cells.map(([cell]) =>
      cell?.status === 'ok' && cell.binding === 'turbine' ? cell.manifoldPressurePa : 0,
    );
    expect(pressures.filter((p) => p > 0).length).toBeGreaterThan(2);
    const known = pressures.filter((p) => p > 0);
    expect(known).toEqual(known.toSorted((a, b) => b - a));
  });
});

describe('a goal held over altitude', () => {
  const goal = { kind: 'manifold-pressure', curve: constant(185_000) } as const;
  const input = exampleInput({ goal, turbine: typicalTurbine(2.6), limits: {} });
  const speeds = [2880, 2900, 2920, 2940, 2980, 3100];
  const held = holdGoal(input, {
    places: [placeAt(0), placeAt(3000)],
    engineSpeedsRpm: speeds,
    altitude: { rule, fromM: 0, toM: 4000 },
  });
  const crossedAt = (altitudeM: number, n: number) => {
    const place = placeAt(altitudeM);
    return holdGoal(input, { places: [place], engineSpeedsRpm: [n] }).cells[0]![0]!;
  };

  it('the turbine is what stops some speeds, and 3 m below the crossing it holds, 3 m above it does not', () => {
    const byTurbine = held.crossings.filter(({ status, limit }) => status === 'crossed' && limit === 'turbine');
    expect(byTurbine.length).toBeGreaterThanOrEqual(1);
    for (const { engineSpeedRpm, altitudeM } of byTurbine) {
      expect(crossedAt(altitudeM! - 3, engineSpeedRpm).crossed).toBeNull();
      const above = crossedAt(altitudeM! + 3, engineSpeedRpm);
      expect(above.crossed).toBe('turbine');
      // Within half a percent the goal counts as held: there the gate is shut already and the goal missed by that.
      expect(above.point.status === 'ok' && above.point.turbine?.reachedShare).toBeCloseTo(0.995, 3);
    }
  });

  it('a turbine a little larger is stopped lower', () => {
    const of = (size: number) =>
      holdGoal(
        { ...input, turbine: typicalTurbine(size) },
        {
          places: [placeAt(0)],
          engineSpeedsRpm: speeds,
          altitude: { rule, fromM: 0, toM: 4000 },
        },
      ).crossings;
    const [small, large] = [of(2.6), of(2.605)];
    for (const [i, crossing] of small.entries()) {
      if (crossing.limit !== 'turbine' || crossing.status !== 'crossed') continue;
      const other = large[i]!;
      expect(other.limit).toBe('turbine');
      expect(other.altitudeM!).toBeLessThan(crossing.altitudeM!);
    }
  });

  it('each cell is the operating line there', () => {
    for (const [p, place] of [placeAt(0), placeAt(3000)].entries()) {
      const rise = 298.15 - 293.15;
      const cooler = {
        kind: 'cooler',
        effectiveness: 0.7,
        coolantTemperatureK: place.ambient.temperatureK + rise,
      } as const;
      const there = {
        ...input,
        ambient: place.ambient,
        chargePath: { ...input.chargePath, cooler },
        engineSpeedsRpm: speeds,
      };
      const line = solveOperatingLine(there);
      for (const [k, cell] of held.cells[p]!.entries()) {
        const point = line[k]!;
        expect(cell.point.status).toBe(point.status);
        if (cell.point.status !== 'ok' || point.status !== 'ok') continue;
        expect(Math.abs(cell.point.backPressureRatio! / point.backPressureRatio! - 1)).toBeLessThan(1e-7);
        expect(cell.point.turbine?.heldBy).toBe(point.turbine?.heldBy);
      }
    }
  });
});

describe('spread with a turbine', () => {
  const none = Object.fromEntries(Object.keys(USUAL_TOLERANCES).map((key) => [key, 0])) as Record<
    keyof Tolerances,
    number
  >;
  const input = exampleInput({ turbine: typicalTurbine(2.2) });
  const options = { samples: 256, engineSpeedsRpm: [2600, 5000], ceilingSamples: 0 };
  function spreadOf(tolerances: Partial<Tolerances>, of: MatchInput = input) {
    const spread = solveSpread(of, { ...none, ...tolerances }, options);
    if (spread.status !== 'done') throw new Error(spread.status);
    return spread;
  }

  it('with everything exactly known every band is the point of the line', () => {
    const line = solveOperatingLine({ ...input, engineSpeedsRpm: options.engineSpeedsRpm });
    for (const [i, at] of spreadOf({}).atSpeeds.entries()) {
      const point = line[i]!;
      if (point.status !== 'ok') throw new Error(point.status);
      for (const key of [
        'manifoldPressurePa',
        'turbineInletPressurePa',
        'backPressureRatio',
        'wastegateShare',
      ] as const) {
        const { p10, p50, p90 } = at.bands[key]!;
        for (const value of [p10, p50, p90])
          expect(Math.abs(value - point[key]!)).toBeLessThan(2e-5 * Math.abs(point[key]!) + 1e-6);
      }
    }
  });

  it('half the tolerance band is what the whole solve gives at its edge: capacity, efficiency, temperature, exhaust loss', () => {
    const bent = {
      turbineCapacity: (t: number) => typicalTurbine(2.2 * (1 + t)),
      turbineEfficiency: (t: number) => typicalTurbine(2.2, { efficiencyShift: t }),
      turbineInletTemperature: (t: number) => typicalTurbine(2.2, { inletTemperatureShiftK: t }),
      exhaustLoss: (t: number) =>
        typicalTurbine(2.2, {
          exhaustLoss: { lossPa: 15_000 * (1 + t), atMassFlowKgPerS: 0.2, atDensityKgPerM3: 0.3 },
        }),
    };
    // 80 of 100 samples of a normal distribution lie within 1.2816 standard deviations, and the tolerance is two (table of the normal
    // distribution).
    const edge = 1.2816 / 2;
    for (const key of ['turbineCapacity', 'turbineEfficiency', 'turbineInletTemperature', 'exhaustLoss'] as const) {
      const tolerance = USUAL_TOLERANCES[key];
      const spread = spreadOf({ [key]: tolerance });
      const ends = [-1, 1].map((sign) => {
        const turbine = bent[key](sign * edge * tolerance);
        return solveOperatingLine({ ...input, turbine, engineSpeedsRpm: options.engineSpeedsRpm });
      });
      for (const [i, at] of spread.atSpeeds.entries()) {
        const values = ends.map((line) => {
          const point = line[i]!;
          return point.status === 'ok' ? point.turbineInletPressurePa! : Number.NaN;
        });
        const { p10, p90 } = at.bands.turbineInletPressurePa!;
        const width = Math.abs(values[1]! - values[0]!);
        expect(Math.abs(p90 - p10 - width) / width, `${key} at ${at.engineSpeedRpm} rpm`).toBeLessThan(0.08);
      }
    }
  });

  it('the limited speed has a band of boost, the held one has none', () => {
    const [limited, held] = spreadOf({ turbineCapacity: 0.03 }).atSpeeds;
    const width = (band: { p10: number; p90: number } | null) => band!.p90 / band!.p10 - 1;
    expect(width(limited!.bands.manifoldPressurePa)).toBeGreaterThan(0.01);
    expect(width(held!.bands.manifoldPressurePa)).toBeLessThan(1e-9);
    expect(width(held!.bands.backPressureRatio)).toBeGreaterThan(0.005);
  });

  it('a build without a turbine is not moved by what is not known of one', () => {
    const { turbine: _none, ...plain } = exampleInput();
    const usual = solveSpread(plain, USUAL_TOLERANCES, options);
    const exact = { turbineCapacity: 0, turbineEfficiency: 0, turbineInletTemperature: 0, exhaustLoss: 0, gateFlow: 0 };
    const less = solveSpread(plain, { ...USUAL_TOLERANCES, ...exact }, options);
    if (usual.status !== 'done' || less.status !== 'done') throw new Error('not done');
    for (const [i, at] of usual.atSpeeds.entries()) {
      expect(less.atSpeeds[i]!.bands).toEqual(at.bands);
      expect(at.bands.turbineInletPressurePa).toBeNull();
    }
  });
});

describe('the demonstration', () => {
  it.each([0, 1])('candidate %d: ceilings are those of a dense scan where the turbine binds', (candidate) => {
    const input = toMatchInput(demoBuild(), candidate);
    const speeds = [2200, 3000, 4200, 5600];
    for (const capacityFactor of [1, 1.4]) {
      const bent = { ...input, turbine: { ...input.turbine!, capacityFactor } };
      for (const cell of ceilingsOf(bent, speeds)) {
        const brute = bruteCeiling(bent, cell.engineSpeedRpm, chosen(bent));
        const found = cell.status === 'ok' ? cell.manifoldPressurePa : null;
        expect(Math.abs((brute ?? 0) - (found ?? 0)), `${cell.engineSpeedRpm} rpm, ${cell.binding}`).toBeLessThan(
          TENTH_KPA,
        );
      }
    }
  });
});
