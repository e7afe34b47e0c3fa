import { bench, describe } from 'vitest';
import { readRoadLog } from '../../src/match/index.ts';
import { demoInput, logOf, makePull, NINE_SECONDS, normal } from '../match/log/made-log.ts';
import { generator } from '../match/random-builds.ts';

/** An hour at 20 Hz: nine-second pulls of the demonstration's car one after the other, with coasting between them. */
const input = demoInput(0);
const pull = makePull(input, { ...NINE_SECONDS, spoolS: 0.3, volumeM3: 12.5e-3 });
const gauss = normal(generator(1));
const ROWS = 72_000;
const PERIOD = 400;
const at = (values: readonly number[], coasting: number, noise: number) =>
  Array.from({ length: ROWS }, (_, i) =>
    i % PERIOD < values.length ? values[i % PERIOD]! * (1 + noise * gauss()) : coasting,
  );
const log = logOf(
  {
    engineSpeed: at(pull.engineSpeed, 2000, 0),
    manifoldPressure: at(pull.manifoldPressure, 45_000, 0.003),
    shaftSpeed: at(pull.shaftSpeed, 40_000, 0.0015),
    chargeTemperature: at(pull.chargeTemperature, 310, 0.003),
  },
  Array.from({ length: ROWS }, (_, i) => i / 20),
);

describe('a road log', () => {
  bench('72,000 rows with 180 pulls: to rows on the map, fit, causes and advice', () => void readRoadLog(input, log), {
    iterations: 3,
    warmupIterations: 1,
  });
});
