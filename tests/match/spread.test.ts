import { describe, expect, it } from 'vitest';
import { demoBuild } from '../../src/build/demo.ts';
import { toMatchInput } from '../../src/build/index.ts';
import {
  type MatchInput,
  ownPlace,
  type Spread,
  type SpreadDone,
  type SpreadOptions,
  solveCeilings,
  solveOperatingLine,
  solveSpread,
  startSpread,
  type ToleranceKey,
  type Tolerances,
  USUAL_TOLERANCES,
} from '../../src/match/index.ts';
import { SampleDrawer, TOLERANCE_TABLE } from '../../src/match/studies/samples.ts';
import { SPREAD_OUTPUTS } from '../../src/match/studies/spread-results.ts';
import { exampleInput } from './example-input.ts';
import { generator } from './random-builds.ts';
import { soundBuild } from './sound-build.ts';
import { HEAD_EXPONENT, plainInput, RPM_PER_ROOT_HEAD } from './straight-map.ts';

const NONE = Object.fromEntries(TOLERANCE_TABLE.map(({ key }) => [key, 0])) as Record<ToleranceKey, number>;
/** z of P90. */
const Z90 = 1.2815515655446004;

function done(spread: Spread): SpreadDone {
  if (spread.status !== 'done') throw new Error(spread.status);
  return spread;
}

function spreadOf(input: MatchInput, some: Partial<Tolerances>, options: SpreadOptions = {}): SpreadDone {
  return done(solveSpread(input, { ...NONE, ...some }, options));
}

describe('a linear case in closed form', () => {
  // Without losses, at a held pressure and a charge cooled to its water's temperature, power is a constant times eta_v: exactly linear,
  // so its distribution is that of eta_v: normal, standard deviation half the tolerance.
  const spread = spreadOf(plainInput(), { volumetricEfficiency: 0.03 }, { samples: 2048, ceilingSamples: 0 });

  it('has the exact band and no other influence', () => {
    for (const at of spread.atSpeeds) {
      if (at.nominal.status !== 'ok') throw new Error('no point');
      const P = at.nominal.brakePowerW;
      const band = at.bands.brakePowerW!;
      expect(band.p50 / P).toBeCloseTo(1, 5);
      // 2048 points: a tenth of a percent of the band's width.
      expect(Math.abs((band.p90 / P - 1) / (Z90 * 0.015) - 1)).toBeLessThan(0.002);
      expect(Math.abs((1 - band.p10 / P) / (Z90 * 0.015) - 1)).toBeLessThan(0.002);
      const [first, ...others] = at.influences.brakePowerW!;
      expect(first!.key).toBe('volumetricEfficiency');
      expect(first!.share).toBeCloseTo(1, 6);
      expect(first!.effect / (0.03 * P)).toBeCloseTo(1, 4);
      expect(others).toEqual([]);
    }
  });

  it('a second, independent input: variances add up and are shared as their squares', () => {
    // ln P = ln eta_v - ln lambda + const: to first order variances 0.015^2 and 0.010^2, 9 : 4.
    const both = spreadOf(plainInput(), { volumetricEfficiency: 0.03, lambda: 0.02 }, { ceilingSamples: 0 });
    for (const at of both.atSpeeds) {
      if (at.nominal.status !== 'ok') throw new Error('no point');
      const P = at.nominal.brakePowerW;
      const { p10, p90 } = at.bands.brakePowerW!;
      const sigma = Math.hypot(0.015, 0.01);
      expect(Math.abs((p90 - p10) / P / (2 * Z90 * sigma) - 1)).toBeLessThan(0.02);
      const [first, second] = at.influences.brakePowerW!;
      expect([first!.key, second!.key]).toEqual(['volumetricEfficiency', 'lambda']);
      expect(first!.share).toBeCloseTo(9 / 13, 2);
      expect(second!.share).toBeCloseTo(4 / 13, 2);
      expect(first!.share + second!.share).toBeCloseTo(1, 2);
      expect(second!.effect).toBeLessThan(0);
    }
  });

  it('shaft speed under a held gauge boost, as only the air temperature varies: N = k sqrt(head) sqrt(theta)', () => {
    const one = spreadOf(plainInput(), { airTemperature: 10 }, { ceilingSamples: 0 });
    const PR = 201_325 / 101_325;
    const at = (T: number) =>
      RPM_PER_ROOT_HEAD * Math.sqrt(PR ** HEAD_EXPONENT - 1) * Math.sqrt((287.0525 * T) / (287.05 * 288.15));
    for (const { bands } of one.atSpeeds) {
      expect(bands.shaftSpeedRpm!.p50 / at(288.15)).toBeCloseTo(1, 4);
      expect(bands.shaftSpeedRpm!.p90 / at(288.15 + 5 * Z90)).toBeCloseTo(1, 4);
      expect(bands.shaftSpeedRpm!.p10 / at(288.15 - 5 * Z90)).toBeCloseTo(1, 4);
    }
  });

  it('a ceiling of the shaft speed moves with the pressure ratio that the map was read with', () => {
    // p = p0 x PR(Nmax) x (1 + error): exactly linear. 1 % tolerance is a standard deviation of 0.5 %.
    const limits = { shaftSpeedRpm: 150_000 };
    const one = spreadOf(plainInput(), { mapPressureRatio: 0.01 }, { limits, samples: 1024, ceilingSamples: 1024 });
    for (const ceiling of one.ceilings) {
      if (ceiling.nominal.status !== 'ok') throw new Error('no ceiling');
      const p = ceiling.nominal.manifoldPressurePa;
      expect(ceiling.noneHolds).toBe(0);
      expect(Math.abs(ceiling.band!.p90 - p * (1 + 0.005 * Z90))).toBeLessThan(60);
      expect(Math.abs(ceiling.band!.p10 - p * (1 - 0.005 * Z90))).toBeLessThan(60);
      expect(ceiling.influences[0]).toMatchObject({ key: 'mapPressureRatio' });
    }
  });

  it('the chance that a limit is crossed is that of the normal distribution', () => {
    // Limit one standard deviation over the nominal power: crossed with 15.87 %.
    const nominal = spread.atSpeeds[1]!.nominal;
    if (nominal.status !== 'ok') throw new Error('no point');
    const limits = { brakePowerW: nominal.brakePowerW * 1.015 };
    const one = spreadOf(
      plainInput(),
      { volumetricEfficiency: 0.03 },
      { limits, engineSpeedsRpm: [nominal.engineSpeedRpm], ceilingSamples: 0 },
    );
    expect(Math.abs(one.atSpeeds[0]!.crossedShare - 0.15866)).toBeLessThan(0.002);
    expect(one.atSpeeds[0]!.crossedBy).toEqual([{ limit: 'brake-power', share: one.atSpeeds[0]!.crossedShare }]);
  });
});

describe('the spread of the demo build', () => {
  const input = toMatchInput(demoBuild(), 0);
  const options = { samples: 256, engineSpeedsRpm: [3000, 4000, 5000, 6000] };
  const spread = done(solveSpread(input, USUAL_TOLERANCES, options));

  it('same seed, same numbers; another seed, about the same bands', () => {
    expect(done(solveSpread(input, USUAL_TOLERANCES, options))).toEqual(spread);
    const other = done(solveSpread(input, USUAL_TOLERANCES, { ...options, seed: 7 }));
    expect(other.atSpeeds).not.toEqual(spread.atSpeeds);
    for (const [k, at] of other.atSpeeds.entries()) {
      const here = spread.atSpeeds[k]!.bands.shaftSpeedRpm!;
      const there = at.bands.shaftSpeedRpm!;
      expect(Math.abs((there.p90 - there.p10) / (here.p90 - here.p10) - 1)).toBeLessThan(0.12);
    }
  });

  it('a wider tolerance never narrows a band', () => {
    for (const { key, usual } of TOLERANCE_TABLE) {
      const wider = done(
        solveSpread(input, { ...USUAL_TOLERANCES, [key]: usual * 2 }, { ...options, ceilingSamples: 0 }),
      );
      for (const [k, at] of wider.atSpeeds.entries()) {
        for (const output of ['shaftSpeedRpm', 'airMassFlowKgPerS', 'brakePowerW'] as const) {
          const before = spread.atSpeeds[k]!.bands[output]!;
          const after = at.bands[output]!;
          // The same low-discrepancy points; what is left of chance is in the quantiles of 256 values.
          expect(after.p90 - after.p10, `${key}, ${output}`).toBeGreaterThan(0.97 * (before.p90 - before.p10));
        }
      }
    }
  });

  it('shares add up to nearly all of the variance, and the signs are those of the physics', () => {
    for (const at of spread.atSpeeds) {
      expect(at.solved).toBe(256);
      for (const output of SPREAD_OUTPUTS) {
        const influences = at.influences[output] ?? [];
        if (influences.length === 0) continue;
        const sum = influences.reduce((total, { share }) => total + share, 0);
        expect(sum, output).toBeGreaterThan(0.97);
        expect(sum, output).toBeLessThanOrEqual(1 + 1e-9);
        expect(influences.every(({ share }) => share >= 0)).toBe(true);
      }
      const effect = (output: 'shaftSpeedRpm' | 'brakePowerW' | 'airMassFlowKgPerS', key: ToleranceKey) =>
        at.influences[output]!.find((influence) => influence.key === key)!.effect;
      expect(effect('brakePowerW', 'volumetricEfficiency')).toBeGreaterThan(0);
      expect(effect('brakePowerW', 'bsfc')).toBeLessThan(0);
      expect(effect('brakePowerW', 'lambda')).toBeLessThan(0);
      expect(effect('airMassFlowKgPerS', 'airTemperature')).toBeLessThan(0);
      expect(effect('airMassFlowKgPerS', 'coolerEffectiveness')).toBeGreaterThan(0);
      expect(effect('shaftSpeedRpm', 'airTemperature')).toBeGreaterThan(0);
      // A map that was read too low in pressure ratio: the machine reaches the goal with less speed.
      expect(effect('shaftSpeedRpm', 'mapPressureRatio')).toBeLessThan(0);
    }
    const overall = spread.influences.brakePowerW;
    expect(
      overall
        .slice(0, 2)
        .map(({ key }) => key)
        .sort(),
    ).toEqual(['bsfc', 'volumetricEfficiency']);
  });

  it('the nominal line lies inside its bands, and each ceiling inside its own', () => {
    for (const at of spread.atSpeeds) {
      if (at.nominal.status !== 'ok') throw new Error('no point');
      for (const output of SPREAD_OUTPUTS) {
        const value = at.nominal[output];
        const band = at.bands[output];
        if (value === null || band === null || band.p90 - band.p10 < 1e-3 * Math.abs(band.p50)) continue;
        expect(value, output).toBeGreaterThan(band.p10);
        expect(value, output).toBeLessThan(band.p90);
      }
    }
    for (const { nominal, band, samples } of spread.ceilings) {
      expect(samples).toBe(128);
      if (nominal.status !== 'ok') continue;
      expect(band!.p10).toBeLessThan(nominal.manifoldPressurePa);
      expect(band!.p90).toBeGreaterThan(nominal.manifoldPressurePa - 400);
    }
  });

  it('samples without a point are counted by reason, and leaving the map counts as crossed', () => {
    const goal = { kind: 'gauge-boost', curve: [{ engineSpeedRpm: 3000, value: 2.02e5 }] } as const;
    const edge = done(solveSpread(exampleInput({ goal }), USUAL_TOLERANCES, { samples: 512, ceilingSamples: 0 }));
    let some = 0;
    for (const at of edge.atSpeeds) {
      const lost = at.unsolved.reduce((sum, { samples }) => sum + samples, 0);
      expect(at.solved + lost).toBe(512);
      expect(at.crossedShare).toBeGreaterThanOrEqual(lost / 512);
      for (const { share } of at.crossedBy) expect(share).toBeLessThanOrEqual(at.crossedShare + 1e-12);
      if (lost > 0 && lost < 512) some++;
    }
    expect(some).toBeGreaterThan(0);
  });

  it('without any tolerance every band is a point and nothing has influence', () => {
    const exact = spreadOf(input, {}, { ...options, samples: 64 });
    for (const at of exact.atSpeeds) {
      const { p10, p50, p90 } = at.bands.shaftSpeedRpm!;
      expect(p90 / p10 - 1).toBeLessThan(1e-6);
      if (at.nominal.status === 'ok') expect(p50 / at.nominal.shaftSpeedRpm).toBeCloseTo(1, 6);
      expect(at.influences.shaftSpeedRpm).toEqual([]);
    }
  });
});

describe('the points of a spread', () => {
  it('are those of the whole solve for each drawn input, or missing for the same reason', () => {
    const goal = { kind: 'gauge-boost', curve: [{ engineSpeedRpm: 3000, value: 190_000 }] } as const;
    for (const input of [toMatchInput(demoBuild(), 0), exampleInput({ goal })]) {
      const engineSpeedsRpm = [2600, 3500, 4500, 5500, 6500];
      const started = startSpread(input, USUAL_TOLERANCES, {
        samples: 64,
        ceilingSamples: 0,
        engineSpeedsRpm,
        seed: 5,
      });
      if (!started.ok) throw new Error(started.message);
      const { run } = started;
      run.step(64);
      const drawer = new SampleDrawer(input, USUAL_TOLERANCES, 5);
      for (let sample = 0; sample < 64; sample++) {
        const line = solveOperatingLine({ ...drawer.draw(sample).input, engineSpeedsRpm });
        for (const [k, point] of line.entries()) {
          const { shaftSpeedRpm, brakePowerW, surgeMargin } = run.records[k]!.values;
          if (point.status !== 'ok') {
            expect(shaftSpeedRpm[sample]).toBeNaN();
            continue;
          }
          expect(Math.abs(shaftSpeedRpm[sample]! / point.shaftSpeedRpm - 1)).toBeLessThan(1e-6);
          expect(Math.abs(brakePowerW[sample]! / point.brakePowerW - 1)).toBeLessThan(1e-6);
          expect(Math.abs(surgeMargin[sample]! - point.surgeMargin!)).toBeLessThan(1e-5);
        }
      }
    }
  });
});

describe('ceilings of a spread', () => {
  it('are those of a whole search on random builds as well', () => {
    const random = generator(77);
    const apart: string[] = [];
    let compared = 0;
    for (let build = 0; build < 40; build++) {
      const input = soundBuild(random);
      const engineSpeedsRpm = input.engineSpeedsRpm.slice(0, 3);
      const options = { samples: 64, ceilingSamples: 8, engineSpeedsRpm, seed: build };
      const started = startSpread(input, USUAL_TOLERANCES, options);
      if (!started.ok) throw new Error(started.message);
      const { run } = started;
      run.step(8);
      const drawer = new SampleDrawer({ ...input, limits: run.plan.limits }, USUAL_TOLERANCES, build);
      for (let sample = 0; sample < 8; sample++) {
        const drawn = drawer.draw(sample).input;
        for (const [k, cell] of solveCeilings(drawn, [ownPlace(drawn)], engineSpeedsRpm).cells[0]!.entries()) {
          const followed = run.ceilings[k]![sample]!;
          const whole = cell.status === 'ok' ? cell.manifoldPressurePa : 0;
          compared++;
          if (Math.abs((Number.isNaN(followed) ? 0 : followed) - whole) > 100) {
            apart.push(`build ${build}, ${cell.engineSpeedRpm} rpm, ${cell.binding}: ${followed}, whole ${whole}`);
          }
        }
      }
    }
    expect(compared).toBe(960);
    expect(apart).toEqual([]);
  });

  it('are those of a whole search for each drawn input, to 0.1 kPa', () => {
    for (const candidate of [0, 1]) {
      const input = toMatchInput(demoBuild(), candidate);
      const engineSpeedsRpm = [2400, 3200, 4400, 5600, 6600];
      const started = startSpread(input, USUAL_TOLERANCES, {
        samples: 64,
        ceilingSamples: 40,
        engineSpeedsRpm,
        seed: 3,
      });
      if (!started.ok) throw new Error(started.message);
      const { run } = started;
      while (!run.isDone) run.step(64);
      const drawer = new SampleDrawer({ ...input, limits: run.plan.limits }, USUAL_TOLERANCES, 3);
      let compared = 0;
      for (let sample = 0; sample < 40; sample++) {
        const drawn = drawer.draw(sample).input;
        const whole = solveCeilings(drawn, [ownPlace(drawn)], engineSpeedsRpm).cells[0]!;
        for (const [k, cell] of whole.entries()) {
          const followed = run.ceilings[k]![sample]!;
          if (cell.status !== 'ok') {
            expect(followed).toBeNaN();
            continue;
          }
          compared++;
          expect(
            Math.abs(followed - cell.manifoldPressurePa),
            `sample ${sample}, ${cell.engineSpeedRpm} rpm`,
          ).toBeLessThan(100);
        }
      }
      expect(compared).toBeGreaterThan(100);
    }
  });
});

describe('running it', () => {
  const input = exampleInput({ engineSpeedsRpm: [4000, 5000] });

  it('tells its progress and stops when it is told to', () => {
    const shares: number[] = [];
    solveSpread(input, USUAL_TOLERANCES, { samples: 128, onProgress: (share) => shares.push(share) });
    expect(shares.at(-1)).toBe(1);
    expect(shares.every((share, i) => i === 0 || share > shares[i - 1]!)).toBe(true);
    let asked = 0;
    const stopped = solveSpread(input, USUAL_TOLERANCES, { samples: 1024, isCancelled: () => ++asked > 3 });
    expect(stopped).toEqual({ status: 'cancelled', samplesDone: 96 });
  });

  it('in steps gives what it gives at once', () => {
    const started = startSpread(input, USUAL_TOLERANCES, { samples: 128 });
    if (!started.ok) throw new Error(started.message);
    while (!started.run.isDone) started.run.step(7);
    expect(started.run.result()).toEqual(solveSpread(input, USUAL_TOLERANCES, { samples: 128 }));
  });

  it('over several runs, each with other samples, gives what it gives at once', () => {
    const goal = { kind: 'gauge-boost', curve: [{ engineSpeedRpm: 3000, value: 2.02e5 }] } as const;
    const options = { samples: 96, ceilingSamples: 40 };
    // The first: of its samples some leave the map; reasons are counted alike.
    for (const of of [exampleInput({ goal }), toMatchInput(demoBuild(), 0)]) {
      const runs = Array.from({ length: 3 }, () => {
        const started = startSpread(of, USUAL_TOLERANCES, options);
        if (!started.ok) throw new Error(started.message);
        return started.run;
      });
      const [own, ...others] = runs;
      for (let turn = 0, isMore = true; isMore; turn++) {
        isMore = own!.step(5);
        const other = others[turn % 2]!;
        const dealt = own!.deal(3 + turn);
        if (dealt === null) continue;
        other.solve(dealt.from, dealt.to);
        own!.take(structuredClone(other.solved(dealt.from, dealt.to)));
      }
      expect(own!.isDone).toBe(true);
      const whole = solveSpread(of, USUAL_TOLERANCES, options);
      expect(own!.result()).toEqual(whole);
    }
    const edge = done(solveSpread(exampleInput({ goal }), USUAL_TOLERANCES, options));
    expect(edge.atSpeeds.some(({ solved, unsolved }) => solved > 0 && unsolved.length > 0)).toBe(true);
  });

  it('thins more than 15 engine speeds to 15, both ends kept', () => {
    const many = exampleInput({ engineSpeedsRpm: Array.from({ length: 50 }, (_, i) => 2500 + 90 * i) });
    const { atSpeeds } = done(solveSpread(many, USUAL_TOLERANCES, { samples: 64, ceilingSamples: 0 }));
    expect(atSpeeds).toHaveLength(15);
    expect([atSpeeds[0]!.engineSpeedRpm, atSpeeds[14]!.engineSpeedRpm]).toEqual([2500, 6910]);
  });

  it('refuses what means nothing, in one plain sentence', () => {
    const refused = [
      solveSpread(input, { ...USUAL_TOLERANCES, bsfc: -0.1 }),
      solveSpread(input, { ...USUAL_TOLERANCES, lambda: Number.NaN }),
      solveSpread(input, USUAL_TOLERANCES, { samples: 10 }),
      solveSpread(input, USUAL_TOLERANCES, { seed: 0.5 }),
      solveSpread({ ...input, ambient: { ...input.ambient, pressurePa: 0 } }, USUAL_TOLERANCES),
    ];
    for (const spread of refused) {
      expect(spread.status).toBe('bad-input');
      if (spread.status === 'bad-input') expect(spread.message).toMatch(/^[A-Z].*\.$/);
    }
  });

  it('a cooler near 1 is never drawn above 1: the distribution is cut there', () => {
    const cooler = { kind: 'cooler', effectiveness: 0.98, coolantTemperatureK: 300 } as const;
    const cold = exampleInput({ chargePath: { ...input.chargePath, cooler }, engineSpeedsRpm: [4500] });
    const { atSpeeds } = spreadOf(cold, { coolerEffectiveness: 0.1 }, { samples: 512, ceilingSamples: 0 });
    expect(atSpeeds[0]!.solved).toBe(512);
    expect(atSpeeds[0]!.unsolved).toEqual([]);
  });
});
