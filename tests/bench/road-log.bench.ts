import { bench, describe } from 'vitest';
import { readLogText } from '../../src/build/index.ts';
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

/** The same as a logger writes it, with six further channels beside the time and those five: twelve columns. */
const NAMES =
  'Time [s],RPM [rpm],MAP [kPa],Turbo speed [rpm],Charge temperature [K],Throttle [%],Lambda,Fuel flow [g/s],Gate duty [%],Oil [degC],Gear,Speed [km/h]';
const [n, p, N, T] = log.channels.map(({ values }) => values);
const cells = (i: number) =>
  `${(i / 20).toFixed(2)},${n![i]!.toFixed(1)},${(p![i]! / 1000).toFixed(2)},${N![i]!.toFixed(0)},${T![i]!.toFixed(2)},${n![i] === 2000 ? 10 : 100},0.85,${(12 + (i % 7)).toFixed(2)},55.5,92.1,3,${(80 + (i % 50)).toFixed(1)}`;
const bytes = new TextEncoder().encode(`${NAMES}\n${Array.from({ length: ROWS }, (_, i) => cells(i)).join('\n')}\n`);

describe('a road log', () => {
  bench('72,000 rows with twelve columns: from bytes to channels in SI', () => void readLogText(bytes), {
    iterations: 5,
    warmupIterations: 2,
  });

  bench('72,000 rows with 180 pulls: to rows on the map, fit, causes and advice', () => void readRoadLog(input, log), {
    iterations: 3,
    warmupIterations: 1,
  });
});
