import { describe, expect, it } from 'vitest';
import { demoBuild } from '../../src/build/demo.ts';
import { toMatchInput } from '../../src/build/index.ts';
import { type MatchInput, solveOperatingLine } from '../../src/match/index.ts';
import { typicalTurbine } from '../match/typical-turbine.ts';
import { machine, measure } from './measure.ts';

const speeds = Array.from({ length: 60 }, (_, i) => 2000 + i * 80);

/** The demo build with a turbine of a given size. */
function withTurbine(candidate: number, size: number): MatchInput {
  return { ...toMatchInput(demoBuild(), candidate), engineSpeedsRpm: speeds, turbine: typicalTurbine(size) };
}

const heldBy = (input: MatchInput) => {
  const counts = new Map<string, number>();
  for (const point of solveOperatingLine(input)) {
    const key = point.status === 'ok' ? (point.turbine?.heldBy ?? 'no turbine') : point.status;
    counts.set(key, (counts.get(key) ?? 0) + 1);
  }
  return [...counts].map(([key, count]) => `${count} ${key}`).join(', ');
};

describe('with a turbine', () => {
  it('operating line of 60 points', () => {
    console.log(machine());
    for (const [name, input, targetMs] of [
      ['the gate holds every point', withTurbine(0, 1), 2],
      ['nearly half turbine-limited', withTurbine(0, 2.6), 3.5],
      ['every point turbine-limited', withTurbine(0, 6), 5],
      [
        'every point beyond the map',
        { ...withTurbine(0, 1), goal: { kind: 'gauge-boost', curve: [{ engineSpeedRpm: 1000, value: 5e5 }] } },
        5,
      ],
    ] as const) {
      console.log(`${name}: ${heldBy(input)}`);
      expect(solveOperatingLine(input)).toHaveLength(60);
      measure(name, () => solveOperatingLine(input), { runs: 200, targetMs });
    }
  });
});
