import { describe, expect, it } from 'vitest';
import {
  type MatchInput,
  type OperatingPoint,
  solveOperatingLine,
  startSpread,
  USUAL_TOLERANCES,
} from '../../src/match/index.ts';
import { SampleDrawer } from '../../src/match/studies/samples.ts';
import { exampleInput } from './example-input.ts';
import { generator } from './random-builds.ts';
import { randomTurbine, sheetCapacity } from './random-turbine.ts';
import { soundBuild } from './sound-build.ts';
import { typicalTurbine } from './typical-turbine.ts';

const SAMPLES = 24;

interface Compared {
  faults: string[];
  counts: Record<string, number>;
}

/**
 * Every point of a spread, which starts near the nominal one, against the whole solve of the drawn input, to 6e-6: a five-hundredth of the narrowest
 * band. That both find a point, or both none, found by this test: a balance at little boost was given up, its last digits being noise.
 */
function compare(input: MatchInput, engineSpeedsRpm: readonly number[], seed: number): Compared {
  const started = startSpread(input, USUAL_TOLERANCES, { samples: 64, ceilingSamples: 0, engineSpeedsRpm, seed });
  if (!started.ok) throw new Error(started.message);
  const { run } = started;
  run.step(SAMPLES);
  const drawer = new SampleDrawer(input, USUAL_TOLERANCES, seed);
  const found: Compared = { faults: [], counts: {} };
  for (let sample = 0; sample < SAMPLES; sample++) {
    const line: OperatingPoint[] = solveOperatingLine({ ...drawer.draw(sample).input, engineSpeedsRpm });
    for (const [k, point] of line.entries()) {
      const { values } = run.records[k]!;
      const kind = point.status === 'ok' ? (point.turbine?.heldBy ?? 'no turbine') : 'none';
      found.counts[kind] = (found.counts[kind] ?? 0) + 1;
      const off = (key: 'shaftSpeedRpm' | 'brakePowerW' | 'backPressureRatio' | 'wastegateShare') => {
        const whole = point.status === 'ok' ? (point[key] ?? Number.NaN) : Number.NaN;
        const near = values[key][sample]!;
        return Number.isNaN(whole) && Number.isNaN(near) ? 0 : Math.abs(near - whole) / Math.max(1, Math.abs(whole));
      };
      for (const key of ['shaftSpeedRpm', 'brakePowerW', 'backPressureRatio', 'wastegateShare'] as const) {
        if (!(off(key) < 6e-6))
          found.faults.push(`${kind}, sample ${sample}, ${point.engineSpeedRpm} rpm: ${key} ${off(key)}`);
      }
    }
  }
  return found;
}

describe('the points of a spread with a turbine', () => {
  it.each([
    ['the gate holds', 1],
    ['on both sides of the threshold', 2.2],
    ['turbine-limited', 3.5],
  ])('are those of the whole solve for each drawn input: %s', (_name, size) => {
    const input = exampleInput({ turbine: typicalTurbine(size) });
    expect(compare(input, [3000, 3400, 3800, 4600, 5600], 11).faults).toEqual([]);
  });

  it('also on random builds', () => {
    const random = generator(515);
    const counts: Record<string, number> = {};
    const faults: string[] = [];
    for (let build = 0; build < 40; build++) {
      const drawn = soundBuild(random);
      const input = { ...drawn, turbine: randomTurbine(random, drawn) };
      const engineSpeedsRpm = [...new Set(input.engineSpeedsRpm.slice(0, 3))].sort((a, b) => a - b);
      const started = startSpread(input, USUAL_TOLERANCES, { samples: 64, ceilingSamples: 0, engineSpeedsRpm });
      if (!started.ok) continue;
      const found = compare(input, engineSpeedsRpm, build);
      faults.push(...found.faults.map((fault) => `build ${build}, ${fault}`));
      for (const [kind, count] of Object.entries(found.counts)) counts[kind] = (counts[kind] ?? 0) + count;
    }
    expect(faults).toEqual([]);
    for (const kind of ['goal', 'turbine', 'none']) expect(counts[kind], kind).toBeGreaterThan(100);
  });
});

describe('the efficiency of a turbine as it is drawn', () => {
  it('stays one that a turbine can have, whether it is a number or off a sheet', () => {
    const capacity = sheetCapacity();
    const entered = capacity.lines.flatMap((l) => l.points.flatMap((p) => p.efficiency ?? []));
    const wide = { ...USUAL_TOLERANCES, turbineEfficiency: 0.6 };
    for (const [efficiency, lowest, highest] of [
      [{ kind: 'number', value: 0.72 }, 0.72, 0.72],
      [{ kind: 'sheet' }, Math.min(...entered), Math.max(...entered)],
    ] as const) {
      const input = exampleInput({ turbine: typicalTurbine(1, { capacity, efficiency }) });
      const drawer = new SampleDrawer(input, wide, 3);
      const shifts = Array.from({ length: 256 }, (_, i) => drawer.draw(i).deviations.turbineEfficiency);
      expect(lowest + Math.min(...shifts)).toBeGreaterThanOrEqual(0.05 - 1e-12);
      expect(highest + Math.max(...shifts)).toBeLessThanOrEqual(1 + 1e-12);
    }
  });
});
