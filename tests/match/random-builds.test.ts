import { describe, expect, it } from 'vitest';
import { demoBuild } from '../../src/build/demo.ts';
import { toMatchInput } from '../../src/build/index.ts';
import { findings, type MatchInput, type OperatingPoint, solveOperatingLine } from '../../src/match/index.ts';
import { balances } from './balances.ts';
import { numbersOf } from './numbers-of.ts';
import { generator, randomInput } from './random-builds.ts';
import { REASONS, reportFaults } from './report-faults.ts';

const BUILDS = 10_000;

function faultsOf(point: OperatingPoint, input: MatchInput): string[] {
  const faults = reportFaults(point, REASONS);
  if (point.status !== 'ok') return faults;
  for (const [name, residual] of Object.entries(balances(point, input))) {
    if (!(Math.abs(residual) < 1e-6)) faults.push(`${name} is off by ${residual}`);
  }
  return faults;
}

interface Tally {
  faults: string[];
  statuses: Map<string, number>;
  mostCalls: number;
}

function run(seed: number, oddness: (random: () => number) => number): Tally {
  const random = generator(seed);
  const tally: Tally = { faults: [], statuses: new Map(), mostCalls: 0 };
  for (let build = 0; build < BUILDS && tally.faults.length < 10; build++) {
    const plain = randomInput(random, oddness(random));
    let calls = 0;
    const at = (W: number, PR: number) => {
      calls++;
      return plain.compressor.at(W, PR);
    };
    const input = { ...plain, compressor: { ...plain.compressor, at } };
    const points: OperatingPoint[] = [];
    for (const engineSpeedRpm of input.engineSpeedsRpm) {
      calls = 0;
      const [point] = solveOperatingLine({ ...input, engineSpeedsRpm: [engineSpeedRpm] });
      tally.mostCalls = Math.max(tally.mostCalls, calls);
      if (point === undefined) throw new Error('no answer at all');
      points.push(point);
      tally.statuses.set(point.status, (tally.statuses.get(point.status) ?? 0) + 1);
      tally.faults.push(...faultsOf(point, plain).map((fault) => `build ${build}, ${engineSpeedRpm} rpm: ${fault}`));
    }
    tally.faults.push(...findingFaults(points, plain).map((fault) => `build ${build}: ${fault}`));
  }
  return tally;
}

/** Points do not know of each other (history.test.ts): solved one by one they are the line. */
function findingFaults(points: readonly OperatingPoint[], input: MatchInput): string[] {
  const found = findings(points, input);
  const order = ['stop', 'caution', 'good', 'note'];
  const faults = found.flatMap((entry) =>
    numbersOf(entry.values)
      .filter(([, value]) => !Number.isFinite(value))
      .map(([path, value]) => `finding ${entry.code}${path} is ${value}`),
  );
  const ranks = found.map((entry) => order.indexOf(entry.severity));
  if (ranks.some((rank, i) => i > 0 && rank < (ranks[i - 1] ?? 0))) faults.push('findings are not worst first');
  const missing = points.some((point) => point.status !== 'ok' && point.status !== 'no-compression');
  if (missing && !found.some((entry) => entry.code.startsWith('no-point-'))) faults.push('a missing point goes unsaid');
  if (found.some((entry) => entry.severity === 'good') && found[0]?.severity === 'stop')
    faults.push('good beside stop');
  return faults;
}

describe('10,000 random builds', () => {
  it('plausible ones: every balance of every point closes to 1e-6, every other speed has a reason', () => {
    const { faults, statuses, mostCalls } = run(20_240_601, () => 0);
    expect(faults).toEqual([]);
    expect(statuses.get('ok')).toBeGreaterThan(BUILDS);
    // Each named reason but those for nonsense must have been met, or the test would not be testing it.
    for (const reason of ['left-of-map', 'right-of-map', 'above-map', 'no-compression', 'no-efficiency']) {
      expect(statuses.get(reason), reason).toBeGreaterThan(20);
    }
    expect(statuses.get('bad-input') ?? 0).toBe(0);
    expect(mostCalls).toBeLessThan(2000);
  });

  it('implausible ones: never NaN, never a hang, balances close wherever there is a point', () => {
    const { faults, statuses, mostCalls } = run(7_431, (random) => (random() < 0.5 ? 0.01 : 0.08));
    expect(faults).toEqual([]);
    expect(statuses.get('bad-input')).toBeGreaterThan(1000);
    expect(mostCalls).toBeLessThan(2000);
  });
});

describe('random builds on fitted maps', () => {
  it.each([0, 1])('demo candidate %d: every balance closes, and every search settles', (candidate) => {
    const { compressor } = toMatchInput(demoBuild(), candidate);
    const random = generator(911 + candidate);
    const faults: string[] = [];
    let solved = 0;
    for (let build = 0; build < 1000; build++) {
      const drawn = randomInput(random, 0);
      // An engine of about the size of the map: randomInput sizes its own compressor at 100 kg/s to the cubic metre.
      const scale = (compressor.extent.maxFlowKgPerS / 100 / drawn.engine.displacementM3) * (0.5 + 0.7 * random());
      const isPower = drawn.goal.kind.endsWith('power');
      const curve = drawn.goal.curve.map((p) => ({ ...p, value: isPower ? p.value * scale : p.value }));
      const engine = { ...drawn.engine, displacementM3: drawn.engine.displacementM3 * scale };
      const input = { ...drawn, engine, compressor, goal: { ...drawn.goal, curve } };
      for (const point of solveOperatingLine(input)) {
        if (point.status === 'ok') solved++;
        if (point.status === 'not-converged') faults.push(`build ${build}: not converged`);
        faults.push(...faultsOf(point, input).map((fault) => `build ${build}, ${point.engineSpeedRpm} rpm: ${fault}`));
      }
    }
    expect(faults).toEqual([]);
    expect(solved).toBeGreaterThan(1500);
  });
});
