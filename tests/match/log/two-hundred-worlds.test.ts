import { describe, expect, it } from 'vitest';
import type { LogChannelKey } from '../../../src/match/types.ts';
import { demoInput } from './made-log.ts';
import { fitsInWorlds } from './worlds.ts';

/** The full count of hidden-biases.test.ts, with the bounds as they were set beforehand, on other seeds than anything was looked at with. */
const SEEDS = Array.from({ length: 200 }, (_, i) => 20_000 + i);
const SPEED: LogChannelKey[] = ['engineSpeed', 'manifoldPressure', 'shaftSpeed'];

describe('two hundred worlds with hidden biases', () => {
  it.each([
    ['the factory-size turbo, shaft speed and manifold pressure', 0, SPEED, 0.023],
    ['the same with charge temperature', 0, [...SPEED, 'chargeTemperature'], 0.017],
    ['the larger turbo with charge temperature', 1, [...SPEED, 'chargeTemperature'], 0.039],
  ] as const)('%s: the 80 % band holds the truth in 74 to 86 of 100', (_, candidate, channels, bound) => {
    const { within, high, byRpm } = fitsInWorlds(demoInput(candidate), SEEDS, channels);
    expect(within).toBeGreaterThanOrEqual(0.74);
    expect(within).toBeLessThanOrEqual(0.86);
    expect(high).toBeLessThanOrEqual(bound);
    for (const { n, before, after } of byRpm) expect(after, `${n} rpm`).toBeLessThanOrEqual(before);
  });
});
