import { describe, expect, it } from 'vitest';
import { readRoadLog } from '../../../src/match/index.ts';
import { logFrame } from '../../../src/match/log/log-frame.ts';
import { surgeTones } from '../../../src/match/log/surge-tones.ts';
import { generator } from '../random-builds.ts';
import { demoInput, logOf, normal, steps } from './made-log.ts';

const TRIALS = 200;

interface Swing {
  hz: number;
  /** Of ln N. */
  amplitude: number;
}

/**
 * A nine-second pull by formula: the shaft runs up, in its middle three seconds it may swing; pulses of four cylinders, 4 kPa, on the manifold
 * pressure, folded by the logging rate as they come. Expected: the swing that was put in.
 */
function pull(rateHz: number, seed: number, swing: Swing | null, pulsesPa = 0) {
  const random = generator(seed);
  const gauss = normal(random);
  const phase = 2 * Math.PI * random();
  const timeS = steps(0, 9, 1 / rateHz);
  const engineSpeed = timeS.map((t) => 2500 + (4000 * t) / 9);
  const swings = (t: number) =>
    swing !== null && t > 3 && t < 6 ? swing.amplitude * Math.sin(2 * Math.PI * swing.hz * t + phase) : 0;
  const fires = timeS.map((t) => 2 * Math.PI * ((2 * (2500 * t + (2000 * t * t) / 9)) / 60));
  return logOf(
    {
      engineSpeed,
      manifoldPressure: timeS.map(
        (t, i) => 120_000 + 100_000 * (1 - Math.exp(-t)) + pulsesPa * Math.sin(fires[i]! + phase) + 700 * gauss(),
      ),
      shaftSpeed: timeS.map(
        (t) => 160_000 * (1 - 0.6 * Math.exp(-t / 1.5)) * Math.exp(swings(t)) * (1 + 0.0015 * gauss()),
      ),
    },
    timeS,
  );
}

function search(log: ReturnType<typeof logOf>) {
  const frame = logFrame(log, []);
  const whole = {
    fromRow: 0,
    toRow: frame.rows,
    fromRpm: 2500,
    toRpm: 6500,
    durationS: 9,
    highestManifoldPressurePa: 0,
    highestShaftSpeedRpm: null,
    used: true,
  };
  return surgeTones(frame, [whole]);
}

const share = (rateHz: number, swing: Swing | null, pulsesPa: number, seed: number) => {
  let found = 0;
  const frequencies: number[] = [];
  for (let i = 0; i < TRIALS; i++) {
    const tones = search(pull(rateHz, seed + i, swing, pulsesPa)).found;
    if (tones.length > 0) found++;
    frequencies.push(...tones.map((tone) => tone.frequencyHz));
  }
  return { share: found / TRIALS, frequencies };
};

describe('surge on the shaft speed', () => {
  it.each([
    [20, 0],
    [20, 4000],
    [50, 0],
    [50, 4000],
    [100, 0],
    [100, 4000],
  ])(
    'of 8 Hz and 1 % is found in each of 200 pulls logged at %s Hz with pulses of %s Pa, at its frequency',
    (rate, pulses) => {
      const { share: found, frequencies } = share(rate, { hz: 8, amplitude: 0.01 }, pulses, 40_000);
      expect(found).toBe(1);
      expect(frequencies.filter((hz) => Math.abs(hz - 8) > 1)).toEqual([]);
    },
  );

  it.each([20, 50, 100])('is not made up in 200 clean pulls nor in 200 with pulses, logged at %s Hz', (rate) => {
    expect(share(rate, null, 0, 50_000).share).toBe(0);
    expect(share(rate, null, 4000, 60_000).share).toBe(0);
  });

  it('above half of the logging rate is not seen for what it is, and the search says how far it sees', () => {
    const { frequencies } = share(20, { hz: 14, amplitude: 0.01 }, 0, 70_000);
    expect(frequencies.every((hz) => hz < 10)).toBe(true);
    expect(search(pull(20, 1, null)).seesToHz).toBeCloseTo(10, 6);
    expect(search(pull(50, 1, null)).seesToHz).toBe(20);
    expect(search(pull(5, 1, null)).seesToHz).toBeNull();
  });

  it('is said by the log, its rows are classed so, and it is said what the rate cannot show', () => {
    const { rows, warnings, surge } = readRoadLog(demoInput(0), pull(20, 3, { hz: 8, amplitude: 0.01 }));
    expect(surge.found.length).toBeGreaterThan(0);
    expect(warnings.find(({ code }) => code === 'surge')).toMatchObject({ severity: 'stop' });
    expect(warnings.find(({ code }) => code === 'surge-unseen')?.values.seesToHz).toBeCloseTo(10, 6);
    expect(rows.some((row) => row.class === 'surging' || row.class === 'off-map')).toBe(true);
    expect(rows.filter((row) => row.class === 'surging').every((row) => !row.used)).toBe(true);
  });
});
