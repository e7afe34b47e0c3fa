import { bench, describe } from 'vitest';
import { readLogText } from '../../src/build/index.ts';
import { readRoadLog } from '../../src/match/index.ts';
import { demoInput } from '../match/log/made-log.ts';
import { hourOfPulls } from './long-log.ts';

const { log, text } = hourOfPulls();
const bytes = new TextEncoder().encode(text);
const input = demoInput(0);

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
