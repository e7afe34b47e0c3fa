import { describe, expect, it } from 'vitest';
import { demoBuild } from '../../src/build/demo.ts';
import { toMatchInput } from '../../src/build/index.ts';
import { type MatchInput, type OperatingPointSolved, solveOperatingLine } from '../../src/match/index.ts';
import { oracleAt } from './driven-oracle.ts';
import { exampleInput } from './example-input.ts';
import { typicalTurbine } from './typical-turbine.ts';

function solved(input: MatchInput): OperatingPointSolved[] {
  return solveOperatingLine(input).filter((point) => point.status === 'ok');
}

function one(input: MatchInput, engineSpeedRpm: number): OperatingPointSolved {
  const [point] = solved({ ...input, engineSpeedsRpm: [engineSpeedRpm] });
  if (point === undefined) throw new Error(`no point at ${engineSpeedRpm} rpm`);
  return point;
}

const AMBIENT = exampleInput().ambient.pressurePa;
const GOAL_PA = AMBIENT + 110_000;

/** Example engine and both demo candidates with a larger turbine than theirs, so that each has limited points. */
const CASES: readonly (readonly [string, () => MatchInput])[] = [
  ['example, twice and a half the size', () => exampleInput({ turbine: typicalTurbine(2.5) })],
  [
    'example, efficiency over U/C0',
    () =>
      exampleInput({
        turbine: typicalTurbine(2.5, {
          efficiency: { kind: 'speed-ratio', best: 0.72, optimum: 0.68, wheelDiameterM: 0.05 },
        }),
      }),
  ],
  ['demo candidate 0', () => larger(toMatchInput(demoBuild(), 0), 1.6)],
  ['demo candidate 1', () => larger(toMatchInput(demoBuild(), 1), 1.25)],
];

function larger(input: MatchInput, capacityFactor: number): MatchInput {
  const turbine = input.turbine!;
  const speeds = Array.from({ length: 12 }, (_, i) => 1800 + 350 * i);
  return { ...input, turbine: { ...turbine, capacityFactor }, engineSpeedsRpm: speeds };
}

describe.each(CASES)('turbine-limited points: %s', (_name, make) => {
  const input = make();
  const points = solved(input);
  const limited = points.filter((point) => point.turbine?.heldBy === 'turbine');

  it('have the gate shut and less boost than the goal, held ones the goal', () => {
    expect(limited.length).toBeGreaterThanOrEqual(2);
    for (const point of limited) {
      expect(point.wastegateShare).toBe(0);
      expect(point.turbine?.reachedShare).toBeLessThan(1);
    }
    for (const point of points.filter((p) => p.turbine?.heldBy === 'goal')) {
      expect(point.wastegateShare).toBeGreaterThanOrEqual(0);
      expect(point.turbine?.reachedShare).toBe(1);
    }
  });

  // Independent code: nested bisection over the solve without a turbine (driven-oracle.ts).
  it('the goal itself would need more exhaust than there is; 0.1 % under what is reached there is a surplus, over it a deficit', () => {
    const rising = new Set<string>();
    for (const point of limited) {
      const n = point.engineSpeedRpm;
      const reachedPa = point.manifoldPressurePa;
      const goalPa = reachedPa / point.turbine!.reachedShare;
      const atGoal = oracleAt(input, n, goalPa, 'holding');
      // Off the map the oracle has no answer at the goal; its shut gate then has none or too little.
      if (atGoal !== null) expect(atGoal.gateShare, `${n} rpm`).toBeLessThan(0);
      if (atGoal !== null) rising.add(`${n}`);
      expect(oracleAt(input, n, reachedPa * 0.999, 'shut')?.surplus, `${n} rpm`).toBeGreaterThan(0);
      expect(oracleAt(input, n, reachedPa * 1.001, 'shut')?.surplus, `${n} rpm`).toBeLessThan(0);
      const there = oracleAt(input, n, reachedPa, 'shut');
      expect(Math.abs(there!.surplus)).toBeLessThan(1e-6);
      expect(Math.abs(there!.backPressureRatio / point.backPressureRatio! - 1)).toBeLessThan(1e-6);
      expect(Math.abs(there!.expansionRatio / point.expansionRatio! - 1)).toBeLessThan(1e-6);
    }
    expect(rising.size).toBeGreaterThan(0);
  });

  it('no higher boost up to the goal is driven either: the highest balance is reported', () => {
    for (const point of limited) {
      const reachedPa = point.manifoldPressurePa;
      const goalPa = reachedPa / point.turbine!.reachedShare;
      for (const share of [0.02, 0.1, 0.25, 0.45, 0.65, 0.85, 1]) {
        const state = oracleAt(input, point.engineSpeedRpm, reachedPa + share * (goalPa - reachedPa), 'shut', 28);
        if (state !== null) expect(state.surplus, `${point.engineSpeedRpm} rpm, ${share}`).toBeLessThan(1e-6);
      }
    }
  });

  it('held ones agree with the same independent evaluation in gate share and back-pressure', () => {
    for (const point of points.filter((p) => p.turbine?.heldBy === 'goal')) {
      const state = oracleAt(input, point.engineSpeedRpm, point.manifoldPressurePa, 'holding');
      expect(Math.abs(state!.gateShare - point.wastegateShare!)).toBeLessThan(1e-6);
      expect(Math.abs(state!.backPressureRatio / point.backPressureRatio! - 1)).toBeLessThan(1e-6);
    }
  });
});

describe('from held to limited as the turbine grows', () => {
  const STEP = 1.0005;
  const SPEED = 3500;

  /** Sizes in steps of 0.05 % about the one at which the gate just shuts. */
  function passage() {
    const at = (size: number) => one(exampleInput({ turbine: typicalTurbine(size) }), SPEED);
    let [low, high] = [1, 4];
    for (let i = 0; i < 40; i++) {
      const middle = (low + high) / 2;
      if (at(middle).turbine!.heldBy === 'goal') low = middle;
      else high = middle;
    }
    const points = Array.from({ length: 41 }, (_, i) => at(low * STEP ** (i - 20)));
    return { shutAt: low, just: at(low), past: at(low * (1 + 1e-7)), points };
  }
  const { just, past, points } = passage();

  it('the gate shuts as the boost begins to fall short: no jump where one takes over from the other', () => {
    expect(just.turbine?.heldBy).toBe('goal');
    expect(past.turbine?.heldBy).toBe('turbine');
    expect(just.wastegateShare).toBeLessThan(1e-6);
    expect(Math.abs(past.manifoldPressurePa / GOAL_PA - 1)).toBeLessThan(1e-6);
    for (const key of ['backPressureRatio', 'expansionRatio', 'airMassFlowKgPerS', 'shaftSpeedRpm'] as const) {
      expect(Math.abs(past[key]! / just[key]! - 1), key).toBeLessThan(1e-6);
    }
  });

  it('a step of 0.05 % in size moves nothing by more than 0.3 %', () => {
    expect(points.filter((p) => p.turbine?.heldBy === 'goal').length).toBeGreaterThan(15);
    expect(points.filter((p) => p.turbine?.heldBy === 'turbine').length).toBeGreaterThan(15);
    for (const [i, point] of points.entries()) {
      const before = points[i - 1];
      if (before === undefined) continue;
      for (const key of [
        'manifoldPressurePa',
        'turbineInletPressurePa',
        'airMassFlowKgPerS',
        'shaftSpeedRpm',
      ] as const) {
        expect(Math.abs(point[key]! / before[key]! - 1), `${key} at step ${i}`).toBeLessThan(3e-3);
      }
      expect(Math.abs(point.wastegateShare! - before.wastegateShare!)).toBeLessThan(3e-3);
    }
  });

  it('along the engine speeds the line has no step at the threshold', () => {
    const speeds = Array.from({ length: 241 }, (_, i) => 2800 + 10 * i);
    const line = solved(exampleInput({ turbine: typicalTurbine(2.3), engineSpeedsRpm: speeds }));
    expect(line.length).toBe(speeds.length);
    expect(line[0]?.turbine?.heldBy).toBe('turbine');
    expect(line[line.length - 1]?.turbine?.heldBy).toBe('goal');
    for (const [i, point] of line.entries()) {
      const before = line[i - 1];
      if (before === undefined) continue;
      expect(Math.abs(point.manifoldPressurePa / before.manifoldPressurePa - 1)).toBeLessThan(0.012);
      expect(Math.abs(point.turbineInletPressurePa! / before.turbineInletPressurePa! - 1)).toBeLessThan(0.012);
      expect(Math.abs(point.wastegateShare! - before.wastegateShare!)).toBeLessThan(0.012);
    }
  });
});

describe('boosts that come next to the edge of what the map answers', () => {
  // A fault that was found by random builds: the search went past the last boost that the map answers for, to where it has no answer, and
  // said that the turbine is too weak although a little boost is driven.
  it('are found by the shut gate: a turbine that drives a pressure ratio of 1.1 to 1.3 only', () => {
    const sizes = [3, 3.5, 4, 4.5, 5, 6, 7, 8];
    const found = sizes.map((size) => {
      const input = exampleInput({ turbine: typicalTurbine(size), engineSpeedsRpm: [5000] });
      return solveOperatingLine(input)[0]!;
    });
    for (const [i, point] of found.entries()) {
      const scanned = highestDriven(exampleInput({ turbine: typicalTurbine(sizes[i]!) }), 5000);
      if (point.status !== 'ok') {
        expect(scanned, `size ${sizes[i]}`).toBeNull();
        continue;
      }
      if (point.turbine?.heldBy === 'turbine') {
        expect(Math.abs(point.manifoldPressurePa / scanned! - 1), `size ${sizes[i]}`).toBeLessThan(0.005);
      }
    }
    expect(found.filter((p) => p.status === 'ok' && p.turbine?.heldBy === 'turbine').length).toBeGreaterThan(2);
  });

  /** Highest pressure below the goal with a surplus under and a deficit over it, in steps of 0.5 % of ambient. */
  function highestDriven(input: MatchInput, n: number): number | null {
    let deficitPa: number | null = null;
    for (let pressurePa = GOAL_PA; pressurePa > 0.9 * AMBIENT; pressurePa -= 0.005 * AMBIENT) {
      const surplus = oracleAt(input, n, pressurePa, 'shut', 26)?.surplus ?? null;
      if (deficitPa !== null && surplus !== null && surplus > 0) return (pressurePa + deficitPa) / 2;
      deficitPa = surplus !== null && surplus < 0 ? pressurePa : null;
    }
    return null;
  }

  it('also under a power goal far out of reach, and one that the inlet path could not feed', () => {
    const turbine = typicalTurbine(3.6);
    const fair = exampleInput({ turbine });
    const short = one(fair, 4000);
    expect(short.turbine?.heldBy).toBe('turbine');
    const reached = short.manifoldPressurePa;
    for (const kilowatts of [400, 1500, 5000]) {
      const goal = { kind: 'brake-power', curve: [{ engineSpeedRpm: 3000, value: kilowatts * 1000 }] } as const;
      const point = one({ ...fair, goal }, 4000);
      expect(point.turbine?.heldBy).toBe('turbine');
      // With the gate shut the goal plays no part: the same boost whatever was asked for.
      expect(Math.abs(point.manifoldPressurePa / reached - 1)).toBeLessThan(1e-7);
      expect(Math.abs(point.turbine!.reachedShare / (point.brakePowerW / (kilowatts * 1000)) - 1)).toBeLessThan(1e-9);
    }
  });
});
