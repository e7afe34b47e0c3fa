import { describe, expect, it } from 'vitest';
import { demoBuild } from '../../src/build/demo.ts';
import { toMatchInput } from '../../src/build/index.ts';
import { type MatchInput, rankSpool, type SpoolTime, solveSpool } from '../../src/match/index.ts';
import { rotorEnergy } from '../../src/match/studies/spool.ts';
import { guessedInertia, trifilarInertia } from '../../src/turbine/index.ts';
import { oracleAt } from './driven-oracle.ts';
import { exampleInput } from './example-input.ts';
import { typicalTurbine } from './typical-turbine.ts';

const J = 3e-5;
const example = (size = 1.6) => exampleInput({ turbine: typicalTurbine(size) });
const asked = (changes = {}) => ({
  engineSpeedRpm: 4000,
  fromPa: exampleInput().ambient.pressurePa + 10_000,
  inertiaKgM2: J,
  inertiaBand: 0,
  chargeVolumeM3: 0,
  ...changes,
});

function timed(input: MatchInput, changes = {}): SpoolTime {
  const spool = solveSpool(input, asked(changes));
  if (spool.status !== 'ok') throw new Error(`${spool.status} ${spool.message}`);
  return spool;
}

describe('the rotor', () => {
  it('road-log.md C: 3e-5 kg m2 from 40,000 to 120,000 rpm takes 2,105 J, with 3 kW left over 0.70 s', () => {
    expect(Math.abs(rotorEnergy(J, 40_000, 120_000) - 2105)).toBeLessThan(1);
    expect(rotorEnergy(J, 40_000, 120_000) / 3000).toBeCloseTo(0.7, 2);
  });

  it('hung by three threads: a disc of 0.2 kg and 30 mm radius swings as its J = m R^2 / 2 says (hand calculation)', () => {
    const inertia = (0.2 * 0.03 ** 2) / 2;
    // T = 2 pi sqrt(J L / (m g r^2)), threads of 0.6 m on a circle of 20 mm radius.
    const period = 2 * Math.PI * Math.sqrt((inertia * 0.6) / (0.2 * 9.80665 * 0.02 ** 2));
    expect(trifilarInertia(0.2, 0.02, period, 0.6) / inertia).toBeCloseTo(1, 12);
  });

  it('guessed for the demo A is of the order of road-log.md C (2.4e-5), and goes with the fifth power of size', () => {
    const { turbine, compressor } = demoBuild().candidates[0]!.wheels;
    const mm = ({ text }: { text: string }) => Number(text) / 1000;
    const guess = guessedInertia(mm(turbine.inducer), mm(compressor.exducer));
    expect(Math.abs(guess / 2.4e-5 - 1)).toBeLessThan(0.15);
    expect(guessedInertia(0.1, 0.12) / guessedInertia(0.05, 0.06)).toBeCloseTo(32, 9);
  });
});

describe('the time to the goal', () => {
  it('is the energy over the power that is left over, recomputed by independent code at every tenth of the way', () => {
    const input = example();
    const spool = timed(input);
    const n = 4000;
    // Trapezoid over 1/surplus of the oracle's balances (driven-oracle.ts: nested bisection, none of the turbine's solver).
    const steps = 10;
    const at = Array.from({ length: steps + 1 }, (_, i) => {
      const p = spool.fromPa + (i / steps) * (spool.toPa - spool.fromPa);
      const state = oracleAt(input, n, p, 'shut')!;
      return { rpm: state.point.shaftSpeedRpm, left: state.surplus * state.point.compressorPowerW };
    });
    let time = 0;
    for (let i = 1; i <= steps; i++) {
      const [a, b] = [at[i - 1]!, at[i]!];
      time += (rotorEnergy(J, a.rpm, b.rpm) * (1 / a.left + 1 / b.left)) / 2;
    }
    // Ten steps against forty of the trapezoid: a few percent apart.
    expect(Math.abs(spool.timeS / time - 1)).toBeLessThan(0.03);
    expect(Math.abs(spool.toShaftRpm / at[steps]!.rpm - 1)).toBeLessThan(1e-6);
    expect(Math.abs(spool.rotorJ / rotorEnergy(J, at[0]!.rpm, at[steps]!.rpm) - 1)).toBeLessThan(1e-6);
  });

  it('goes with the inertia, is longer with a charge volume, a lower start, a lower engine speed and a larger turbine', () => {
    const input = example();
    const base = timed(input);
    expect(timed(input, { inertiaKgM2: 2 * J }).timeS / base.timeS).toBeCloseTo(2, 9);
    const filled = timed(input, { chargeVolumeM3: 0.01 });
    expect(filled.timeS).toBeGreaterThan(base.timeS);
    expect(filled.fillingJ).toBeGreaterThan(0);
    expect(timed(input, { fromPa: base.fromPa + 20_000 }).timeS).toBeLessThan(base.timeS);
    const times = [3500, 4000, 5000, 6000].map((engineSpeedRpm) => timed(input, { engineSpeedRpm }).timeS);
    expect(times).toEqual(times.toSorted((a, b) => b - a));
    const sizes = [1.2, 1.6, 2].map((size) => timed(example(size)).timeS);
    expect(sizes).toEqual(sizes.toSorted((a, b) => a - b));
  });

  it('of two turbos on twice the engine is that of one', () => {
    const one = exampleInput({
      turbine: typicalTurbine(1.6, { inletTemperatureK: [{ engineSpeedRpm: 3000, value: 1173 }] }),
    });
    const two = { ...one, turboCount: 2, engine: { ...one.engine, displacementM3: 2 * one.engine.displacementM3 } };
    const [single, pair] = [timed(one, { chargeVolumeM3: 0.008 }), timed(two, { chargeVolumeM3: 0.016 })];
    expect(pair.timeS / single.timeS).toBeCloseTo(1, 8);
  });

  it('carries a band of 30 % and what the inertia adds; two are told apart only beyond theirs', () => {
    const input = example();
    const sure = timed(input);
    expect(sure.band).toBeCloseTo(0.3, 12);
    const guess = timed(input, { inertiaBand: 0.5 });
    expect(guess.band).toBeCloseTo(Math.hypot(0.3, 0.5), 12);
    const later = (share: number) => ({ ...sure, timeS: share * sure.timeS });
    expect(rankSpool(sure, later(1.1)).verdict).toBe('same');
    expect(rankSpool(sure, later(1.3)).verdict).toBe('later');
    expect(rankSpool(sure, later(0.7)).verdict).toBe('sooner');
    expect(rankSpool(guess, { ...guess, timeS: 1.3 * guess.timeS }).verdict).toBe('same');
  });

  it('says why there is none', () => {
    const status = (input: MatchInput, changes = {}) => solveSpool(input, asked(changes)).status;
    expect(status(exampleInput())).toBe('no-turbine');
    expect(status(example(6))).toBe('not-reached');
    expect(status(example(), { inertiaKgM2: 0 })).toBe('bad-input');
    expect(status(example(), { engineSpeedRpm: Number.NaN })).toBe('bad-input');
    expect(status(example(), { fromPa: 400_000 })).toBe('no-start');
    const none = {
      ...example(),
      goal: { kind: 'gauge-boost', curve: [{ engineSpeedRpm: 3000, value: 600_000 }] },
    } as const;
    expect(status(none)).toMatch(/no-goal|not-reached/);
  });

  it('of the demo: the smaller turbo sooner than the larger at 4,500 rpm, where both reach the goal', () => {
    const [a, b] = [0, 1].map((index) => {
      const input = toMatchInput(demoBuild(), index);
      return timed(input, { engineSpeedRpm: 4500, fromPa: input.ambient.pressurePa + 10_000, chargeVolumeM3: 0.008 });
    });
    expect(a!.timeS).toBeLessThan(b!.timeS);
    expect(a!.timeS).toBeGreaterThan(0.1);
    expect(b!.timeS).toBeLessThan(5);
  });
});
