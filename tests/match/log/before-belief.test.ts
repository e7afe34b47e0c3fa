import { describe, expect, it } from 'vitest';
import { readRoadLog } from '../../../src/match/index.ts';
import type { RoadLogOptions } from '../../../src/match/types.ts';
import { evaluateCurve } from '../../../src/numerics/index.ts';
import { generator } from '../random-builds.ts';
import { demoInput, logOf, type MadePull, makePull, NINE_SECONDS, normal } from './made-log.ts';

const median = (values: readonly number[]) => [...values].sort((a, b) => a - b)[values.length >> 1] ?? Number.NaN;
const input = demoInput(0);
const pull = makePull(input, NINE_SECONDS);

function noisy(made: MadePull, seed: number, factor = 1, probeK = 1) {
  const noise = normal(generator(seed));
  return logOf(
    {
      engineSpeed: made.engineSpeed,
      manifoldPressure: made.manifoldPressure.map((p) => p + 700 * noise()),
      shaftSpeed: made.shaftSpeed.map((n) => n * factor * (1 + 0.0015 * noise())),
      chargeTemperature: made.chargeTemperature.map((t) => t + probeK * noise()),
    },
    made.timeS,
  );
}

describe('the blade count of the pickup', () => {
  const found = (factor: number, options: RoadLogOptions) =>
    readRoadLog(input, noisy(pull, 7, factor), { boostedVolumeM3: 0, ...options });
  const sixAndSix = { full: 6, splitters: 6 };

  it.each([
    [
      '6 full and 6 splitters, entered as 6 where the pickup sees 12',
      2,
      { bladesEntered: 6, wheelBlades: sixAndSix },
      12,
    ],
    ['the reverse', 0.5, { bladesEntered: 12, wheelBlades: sixAndSix }, 6],
    ['no count of the wheel, 11 entered for 12', 12 / 11, { bladesEntered: 11 }, 12],
  ])('is named with at least 95 %, proposed, not applied: %s', (_, factor, options, blades) => {
    const { blades: verdict, rows } = found(factor, options);
    expect(verdict.verdict).toBe('other-count');
    const first = verdict.candidates[0]!;
    const alike = verdict.candidates.filter((c) => Math.abs(c.shaftSpeedFactor / first.shaftSpeedFactor - 1) < 1e-9);
    expect(alike.reduce((sum, c) => sum + c.probability, 0)).toBeGreaterThanOrEqual(0.95);
    expect(first.blades).toBe(blades);
    expect(first.shaftSpeedFactor).toBeCloseTo(1 / factor, 9);
    const middle = rows[rows.length >> 1]!;
    expect(middle.shaftSpeedRpm! / (pull.shaftSpeed[middle.row]! * factor)).toBeCloseTo(1, 1);
    // Accepted, it is the log of the car.
    const accepted = found(factor, { ...options, bladesEntered: blades, shaftSpeedFactor: first.shaftSpeedFactor });
    expect(accepted.blades.verdict).toBe('as-entered');
  });

  it('is as entered where it is', () => {
    expect(found(1, { bladesEntered: 12, wheelBlades: sixAndSix }).blades.verdict).toBe('as-entered');
    expect(found(1, { bladesEntered: 11 }).blades.verdict).toBe('as-entered');
  });

  it('explains no speed that is off by 4 %', () => {
    const { blades, warnings } = found(1.04, { bladesEntered: 12, wheelBlades: sixAndSix });
    expect(blades.verdict).toBe('none-fits');
    expect(warnings.some(({ code }) => code === 'wrong-car')).toBe(false);
  });

  it('explains no speed of another car: more than 20 % off and no count gives it', () => {
    const { blades, warnings } = found(1.31, { bladesEntered: 12, wheelBlades: sixAndSix });
    expect(blades.verdict).toBe('none-fits');
    expect(warnings[0]?.code).toBe('wrong-car');
  });
});

describe('the lag of the shaft speed', () => {
  const spool = makePull(input, { ...NINE_SECONDS, spoolS: 0.6, volumeM3: 12.5e-3 });

  function lagged(seed: number, lagS: number) {
    const log = noisy(spool, seed);
    const shaft = [spool.shaftSpeed[0]!];
    const dt = spool.timeS[1]! - spool.timeS[0]!;
    // Ten steps of the first-order response within each row, the true speed straight between them.
    for (let i = 1; i < spool.shaftSpeed.length; i++) {
      let y = shaft[i - 1]!;
      for (let k = 1; k <= 10; k++) {
        const x = spool.shaftSpeed[i - 1]! + ((k - 0.5) / 10) * (spool.shaftSpeed[i]! - spool.shaftSpeed[i - 1]!);
        y += lagS > 0 ? (x - y) * (1 - Math.exp(-dt / 10 / lagS)) : x - y;
      }
      shaft.push(lagS > 0 ? y : spool.shaftSpeed[i]!);
    }
    const noise = normal(generator(seed + 500));
    const channel = log.channels.find(({ key }) => key === 'shaftSpeed')!;
    channel.values.set(shaft.map((n) => n * (1 + 0.0015 * noise())));
    return readRoadLog(input, log, { boostedVolumeM3: 12.5e-3 });
  }

  it('of 0.12 s is found to 0.02 s in each of ten logs, and taken out', () => {
    for (let seed = 1; seed <= 10; seed++) {
      const { lag } = lagged(seed, 0.12);
      expect(lag.status).toBe('found');
      expect(Math.abs(lag.lagS - 0.12), `seed ${seed}`).toBeLessThanOrEqual(0.02);
      expect(lag.spreadAfter!).toBeLessThan(0.5 * lag.spreadBefore!);
    }
  });

  it('of nothing is not made up: at most 0.02 s', () => {
    for (let seed = 1; seed <= 5; seed++) expect(Math.abs(lagged(seed, 0).lag.lagS)).toBeLessThanOrEqual(0.02);
  });
});

describe('the lag of the charge-temperature probe', () => {
  /** A probe of first order behind the air of the pull, as its equation has it; the air at idle before it. */
  const spool = makePull(input, { ...NINE_SECONDS, spoolS: 0.4 });
  const behind = (tauS: number) => {
    let y = 306;
    const chargeTemperature = spool.chargeTemperature.map((air) => {
      y = tauS > 0 ? y + (air - y) * (1 - Math.exp(-0.05 / tauS)) : air;
      return y;
    });
    return { ...spool, chargeTemperature };
  };
  const read = (tauS: number, seed: number, options: RoadLogOptions = {}) =>
    readRoadLog(input, noisy(behind(tauS), seed, 1, 0.3), { boostedVolumeM3: 0, ...options });

  it('of 3 and of 5 s is found to 1 and 1.25 s, and what the log then gives is nearer to the car', () => {
    for (const tauS of [3, 5]) {
      for (let seed = 1; seed <= 4; seed++) {
        const { chargeProbe, fit } = read(tauS, seed);
        expect(chargeProbe.status, `${tauS} s, seed ${seed}`).toBe('found');
        expect(Math.abs(chargeProbe.lagS - tauS), `${tauS} s, seed ${seed}`).toBeLessThanOrEqual(Math.max(1, tauS / 4));
        const cooler = (of: typeof fit) => of!.nuisances.find(({ key }) => key === 'coolerEffectiveness')!;
        const left = read(tauS, seed, { chargeProbeS: 0 }).fit;
        expect(Math.abs(cooler(fit).value)).toBeLessThan(2 * cooler(fit).standardDeviation);
        expect(Math.abs(cooler(fit).value)).toBeLessThan(0.5 * Math.abs(cooler(left).value));
      }
    }
  });

  it('is next to nothing where the probe has none', () => {
    for (let seed = 1; seed <= 4; seed++) {
      const { chargeProbe } = read(0, seed);
      expect(chargeProbe.lagS).toBeLessThanOrEqual(Math.max(0.5, 2 * chargeProbe.deviationS));
    }
  });

  it('is not known from a log without a time, nor from one with too few rows', () => {
    const log = noisy(behind(5), 1);
    expect(readRoadLog(input, { ...log, timeS: null }).chargeProbe.status).toBe('unknown');
    expect(read(5, 1, { chargeProbeS: 5 }).chargeProbe).toMatchObject({ status: 'given', lagS: 5 });
  });
});

describe('the flow that fills the charge path', () => {
  // A boost that spools up: 12.5 L, the volume of one published 1.95-litre engine (6.0 + 4.7 + 1.8 L).
  const made = makePull(input, { ...NINE_SECONDS, spoolS: 0.6, volumeM3: 12.5e-3 });
  const log = logOf(
    {
      engineSpeed: made.engineSpeed,
      manifoldPressure: made.manifoldPressure,
      shaftSpeed: made.shaftSpeed,
      chargeTemperature: made.chargeTemperature,
    },
    made.timeS,
  );
  const errors = (boostedVolumeM3: number) =>
    readRoadLog(input, log, { boostedVolumeM3, shaftLagS: 0 }).rows.map((row) => ({
      row,
      ratePaPerS: made.pressureRate[row.row]!,
      off:
        row.volumetricEfficiency === null
          ? Number.NaN
          : row.volumetricEfficiency / evaluateCurve(input.engine.volumetricEfficiency, row.engineSpeedRpm)! - 1,
    }));
  const fast = (all: ReturnType<typeof errors>) =>
    all.filter(({ ratePaPerS, off }) => ratePaPerS > 20_000 && !Number.isNaN(off));

  it('is taken off: the volumetric efficiency is off by at most 0.5 % in the median, in rows that fill fast and in all', () => {
    const all = errors(12.5e-3);
    expect(fast(all).length).toBeGreaterThanOrEqual(8);
    expect(Math.abs(median(fast(all).map(({ off }) => off)))).toBeLessThanOrEqual(0.005);
    expect(Math.abs(median(all.filter(({ off }) => !Number.isNaN(off)).map(({ off }) => off)))).toBeLessThanOrEqual(
      0.005,
    );
  });

  it('would else be taken for volumetric efficiency: at least 2 % in the median of rows over 20 kPa/s', () => {
    expect(median(fast(errors(0)).map(({ off }) => off))).toBeGreaterThanOrEqual(0.02);
  });

  it('makes no row over 20 kPa/s a steady one', () => {
    expect(fast(errors(12.5e-3)).filter(({ row }) => row.class === 'steady')).toEqual([]);
  });
});
