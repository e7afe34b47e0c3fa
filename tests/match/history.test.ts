import { describe, expect, it } from 'vitest';
import { demoBuild } from '../../src/build/demo.ts';
import { toMatchInput } from '../../src/build/index.ts';
import { type MatchInput, type OperatingPoint, solveOperatingLine } from '../../src/match/index.ts';
import { exampleInput } from './example-input.ts';
import { numbersOf } from './numbers-of.ts';
import { generator, randomInput } from './random-builds.ts';
import { randomTurbine } from './random-turbine.ts';
import { typicalTurbine } from './typical-turbine.ts';

const speeds = Array.from({ length: 25 }, (_, i) => 1600 + 200 * i);

/** The numbers of one point that are off those of the other by more than 1e-8 of themselves, and what is named otherwise. */
function differences(a: OperatingPoint, b: OperatingPoint): string[] {
  if (a.status !== b.status) return [`${a.engineSpeedRpm} rpm: ${a.status} and ${b.status}`];
  const ofB = new Map(numbersOf(b));
  return numbersOf(a)
    .filter(
      ([path, value]) => !(Math.abs(value - (ofB.get(path) ?? Number.NaN)) <= 1e-8 * Math.max(1e-3, Math.abs(value))),
    )
    .map(([path, value]) => `${a.engineSpeedRpm} rpm: ${path} ${value} and ${ofB.get(path)}`);
}

/** The line against each of its engine speeds alone, and against the line backwards. */
function historyFaults(input: MatchInput): string[] {
  const line = solveOperatingLine(input);
  const alone = input.engineSpeedsRpm.map((rpm) => solveOperatingLine({ ...input, engineSpeedsRpm: [rpm] })[0]!);
  const backwards = solveOperatingLine({ ...input, engineSpeedsRpm: input.engineSpeedsRpm.toReversed() }).toReversed();
  return line.flatMap((point, i) => [...differences(point, alone[i]!), ...differences(point, backwards[i]!)]);
}

const CASES: readonly (readonly [string, MatchInput])[] = [
  ['the gate holds every point', exampleInput({ turbine: typicalTurbine(1), engineSpeedsRpm: speeds })],
  ['some turbine-limited', exampleInput({ turbine: typicalTurbine(2.3), engineSpeedsRpm: speeds })],
  ['nearly all turbine-limited', exampleInput({ turbine: typicalTurbine(5), engineSpeedsRpm: speeds })],
  ['demo candidate 0', { ...toMatchInput(demoBuild(), 0), engineSpeedsRpm: speeds }],
  ['demo candidate 1', { ...toMatchInput(demoBuild(), 1), engineSpeedsRpm: speeds }],
];

describe('the same input gives the same numbers, whatever was solved before', () => {
  it.each(CASES)('a line, its engine speeds alone and the line backwards agree to 1e-8: %s', (_name, input) => {
    expect(historyFaults(input)).toEqual([]);
  });

  it('over random builds, points and named reasons alike', () => {
    const random = generator(4711);
    const counts: Record<string, number> = {};
    const faults: string[] = [];
    for (let build = 0; build < 400; build++) {
      const drawn = randomInput(random, 0);
      const input = { ...drawn, turbine: randomTurbine(random, drawn) };
      faults.push(...historyFaults(input).map((fault) => `build ${build}, ${fault}`));
      for (const point of solveOperatingLine(input)) {
        const key = point.status === 'ok' ? `held by ${point.turbine?.heldBy}` : point.status;
        counts[key] = (counts[key] ?? 0) + 1;
      }
    }
    expect(faults).toEqual([]);
    // Each must have been met, or the test would not be testing it.
    for (const kind of ['held by goal', 'held by turbine', 'turbine-too-weak', 'right-of-map']) {
      expect(counts[kind], kind).toBeGreaterThan(50);
    }
  });
});
