import { describe, expect, it } from 'vitest';
import { demoBuild } from '../../src/build/demo.ts';
import { toMatchInput } from '../../src/build/index.ts';
import {
  findings,
  type LeftByOpenGate,
  lineParts,
  lowestWithGateOpen,
  type MatchInput,
  type OperatingPoint,
  type OperatingPointSolved,
  ownPlace,
  solveCeilings,
  solveOperatingLine,
  solveSpread,
  startSpread,
  type Tolerances,
  USUAL_TOLERANCES,
} from '../../src/match/index.ts';
import type { TurbineInput } from '../../src/turbine/types.ts';
import { drivenBalances, exhaustOf } from './driven-balances.ts';
import { oracleAt } from './driven-oracle.ts';
import { exampleInput } from './example-input.ts';
import { generator } from './random-builds.ts';
import { randomTurbine } from './random-turbine.ts';
import { soundBuild } from './sound-build.ts';
import { typicalTurbine } from './typical-turbine.ts';

type Gated = MatchInput & { turbine: TurbineInput };

const constant = (value: number) => [{ engineSpeedRpm: 3000, value }];
const MM2 = 1e-6;

function gated(input: MatchInput, gateAreaM2: number | undefined): Gated {
  return { ...input, turbine: { ...input.turbine!, gateAreaM2 } };
}

const example = (size = 1) => exampleInput({ turbine: typicalTurbine(size) });
const solved = (points: readonly OperatingPoint[]) =>
  points.filter((p): p is OperatingPointSolved => p.status === 'ok');
const creeping = (input: MatchInput) => solved(solveOperatingLine(input)).filter((p) => p.turbine?.heldBy === 'gate');

/** psi of an isentropic nozzle of gamma 4/3 as the textbook prints it (Saravanamuttoo et al., appendix A): none of src/turbine. */
function psi(ratio: number): number {
  const gamma = 4 / 3;
  const r = Math.min(ratio, ((gamma + 1) / 2) ** (gamma / (gamma - 1)));
  return Math.sqrt(((2 * gamma) / (gamma - 1)) * r ** (-2 / gamma) * (1 - r ** (-(gamma - 1) / gamma)));
}

/** What an opening passes at a point, kg/s, from the report alone. */
function passes(point: OperatingPointSolved, input: Gated, areaM2: number): number {
  const { gas, temperatureK } = exhaustOf(point, input, input.turbine);
  return (
    (areaM2 * point.turbineInletPressurePa! * psi(point.expansionRatio!)) / Math.sqrt(gas.gasConstant * temperatureK)
  );
}

describe('a gate of a known size', () => {
  it('of any size that is enough leaves every digit as it was', () => {
    for (const input of [toMatchInput(demoBuild(), 0), toMatchInput(demoBuild(), 1), example(), example(2.5)]) {
      const without = solveOperatingLine(input);
      for (const area of [Number.POSITIVE_INFINITY, 1]) {
        const line = solveOperatingLine(gated(input, area)).map((p) =>
          p.status === 'ok' && p.turbine ? { ...p, turbine: { ...p.turbine, gateOpening: null } } : p,
        );
        expect(line).toEqual(without);
      }
    }
  });

  it('that is enough at the goal is told as the area that passes what goes by: continuity from the report', () => {
    const input = gated(example(), 1);
    for (const point of solved(solveOperatingLine(input))) {
      const { flowKgPerS } = exhaustOf(point, input, input.turbine);
      const past = point.wastegateShare! * flowKgPerS;
      expect(Math.abs(passes(point, input, point.turbine!.gateAreaM2!) / past - 1)).toBeLessThan(1e-9);
      expect(point.turbine!.gateOpening).toBe(point.turbine!.gateAreaM2);
    }
  });

  it('the demo: what the gates of both candidates must open (road-log.md C: A 46 to 121 mm2 at the goal)', () => {
    const areas = solved(solveOperatingLine(toMatchInput(demoBuild(), 0)))
      .filter((p) => p.turbine!.heldBy === 'goal')
      .map((p) => p.turbine!.gateAreaM2! / MM2);
    expect(Math.abs(Math.min(...areas) - 46)).toBeLessThan(2);
    // Computed before the map's surface was fitted anew: 122.3 since.
    expect(Math.abs(Math.max(...areas) - 121)).toBeLessThan(3);
  });
});

describe('a gate too small for the goal', () => {
  const input = example();
  const needs = Math.max(...solved(solveOperatingLine(input)).map((p) => p.turbine!.gateAreaM2!));

  it.each([0.95, 0.8, 0.6])(
    '%f of what it takes: the boost creeps to where mass and energy balance, from the report alone',
    (share) => {
      const small = gated(input, share * needs);
      const creeps = creeping(small);
      expect(creeps.length).toBeGreaterThan(0);
      for (const point of creeps) {
        const { reachedShare, gateAreaM2, gateOpening } = point.turbine!;
        expect(reachedShare).toBeGreaterThan(1);
        expect(gateAreaM2).toBeGreaterThan(share * needs);
        expect(gateOpening).toBeGreaterThan(1);
        for (const [name, residual] of Object.entries(drivenBalances(point, small))) {
          expect(Math.abs(residual), `${name} at ${point.engineSpeedRpm} rpm`).toBeLessThan(1e-6);
        }
        const { flowKgPerS } = exhaustOf(point, small, small.turbine);
        const through = point.turbine!.massFlowKgPerS;
        expect(Math.abs((through + passes(point, small, share * needs)) / flowKgPerS - 1)).toBeLessThan(1e-6);
      }
    },
  );

  it('independent code: a hair less boost needs a larger gate than there is, a hair more a smaller one; none lower is held', () => {
    const area = 0.8 * needs;
    const small = gated(input, area);
    const areaAt = (point: OperatingPointSolved, pressurePa: number) => {
      const state = oracleAt(small, point.engineSpeedRpm, pressurePa, 'holding');
      if (state === null) return null;
      const { gas, temperatureK, flowKgPerS } = exhaustOf(state.point, small, small.turbine);
      const flux =
        (state.backPressureRatio * pressurePa * psi(state.expansionRatio)) / Math.sqrt(gas.gasConstant * temperatureK);
      return (state.gateShare * flowKgPerS) / flux;
    };
    const creeps = creeping(small);
    let told = 0;
    for (const point of creeps) {
      const at = point.manifoldPressurePa;
      const goalPa = at / point.turbine!.reachedShare;
      const there = areaAt(point, at);
      // The oracle brackets p3/p_m from next to nothing up: near the edge of the map one end has no answer.
      if (there === null) continue;
      told += 1;
      expect(Math.abs(there / area - 1)).toBeLessThan(1e-5);
      expect(areaAt(point, 0.999 * at) ?? area + 1).toBeGreaterThan(area);
      expect(areaAt(point, 1.001 * at) ?? 0).toBeLessThan(area);
      for (const part of [0.25, 0.5, 0.75]) {
        expect(areaAt(point, goalPa + part * (at - goalPa)) ?? area + 1).toBeGreaterThan(area);
      }
      expect(Math.abs(areaAt(point, goalPa)! / point.turbine!.gateAreaM2! - 1)).toBeLessThan(1e-5);
    }
    expect(told).toBeGreaterThan(2);
  });

  it('no step where the gate just opens wide', () => {
    const [point] = solved(solveOperatingLine({ ...input, engineSpeedsRpm: [6000] }));
    const area = point!.turbine!.gateAreaM2!;
    const at = (share: number) =>
      solved(solveOperatingLine(gated({ ...input, engineSpeedsRpm: [6000] }, share * area)))[0]!;
    expect(at(1 + 1e-9).turbine!.heldBy).toBe('goal');
    expect(at(1 - 1e-6).turbine!.heldBy).toBe('gate');
    expect(at(1 - 1e-6).manifoldPressurePa / point!.manifoldPressurePa - 1).toBeLessThan(2e-6);
  });

  it('under a power goal too, and where the goal asks for no compression', () => {
    const goal = { kind: 'brake-power', curve: constant(60_000) } as const;
    const power = creeping(gated({ ...input, goal }, 0.3 * needs));
    expect(power.length).toBeGreaterThan(0);
    for (const p of power) expect(p.brakePowerW / 60_000).toBeCloseTo(p.turbine!.reachedShare, 9);
    const none = {
      ...input,
      goal: { kind: 'gauge-boost', curve: constant(-20_000) } as const,
      engineSpeedsRpm: [3000, 3500],
    };
    expect(solveOperatingLine(none).map(({ status }) => status)).toEqual(['no-compression', 'no-compression']);
    const crept = creeping(gated(none, 0.6 * needs));
    expect(crept.length).toBe(2);
    for (const p of crept) {
      expect(p.turbine!.gateAreaM2).toBeNull();
      expect(p.manifoldPressurePa).toBeGreaterThan(none.ambient.pressurePa - 20_000);
    }
  });

  it('the same boost whatever goal lies below it: with the gate wide open the goal plays no part', () => {
    const at = (pa: number) => {
      const goal = { kind: 'gauge-boost', curve: constant(pa) } as const;
      return creeping(gated({ ...input, goal, engineSpeedsRpm: [3000] }, 0.4 * needs))[0]!.manifoldPressurePa;
    };
    const boosts = [-20_000, 20_000, 50_000, 80_000].map(at);
    for (const p of boosts) expect(Math.abs(p / boosts[0]! - 1)).toBeLessThan(1e-7);
  });

  /** No boost is less than any; of what is not known nothing is said. */
  const numberOf = (left: LeftByOpenGate | undefined) =>
    typeof left === 'number' ? left : left === 'none' ? 0 : Number.POSITIVE_INFINITY;

  it('what is left with it wide open, over a whole line: just above is held, just below creeps back to it', () => {
    const small = gated(input, 0.6 * needs);
    const here = ownPlace(small);
    const speeds = small.engineSpeedsRpm;
    const [row] = lowestWithGateOpen(small, [here], speeds)!;
    const at = (rpm: number, pa: number) => {
      const goal = { kind: 'manifold-pressure', curve: constant(pa) } as const;
      return solved(solveOperatingLine({ ...small, goal, engineSpeedsRpm: [rpm] }))[0];
    };
    let told = 0;
    row!.forEach((pa, i) => {
      if (typeof pa !== 'number') return;
      const above = at(speeds[i]!, 1.001 * pa);
      // Where the exhaust gives no more than the open gate leaves, or the map ends, nothing is held above.
      const heldBy = above?.turbine?.heldBy;
      if (heldBy === 'goal') told += 1;
      expect(heldBy).not.toBe('gate');
      const below = at(speeds[i]!, 0.999 * pa)!;
      expect(below.turbine!.heldBy).toBe('gate');
      expect(Math.abs(below.manifoldPressurePa / pa - 1)).toBeLessThan(1e-7);
    });
    expect(told).toBeGreaterThan(3);
    // The goal of the build plays no part: where it creeps, it creeps to this.
    for (const p of creeping(small)) {
      expect(Math.abs(p.manifoldPressurePa / numberOf(row![speeds.indexOf(p.engineSpeedRpm)]) - 1)).toBeLessThan(1e-7);
    }
    const [larger] = lowestWithGateOpen(gated(input, 0.9 * needs), [here], speeds)!;
    larger!.forEach((pa, i) => {
      if (pa !== null) expect(numberOf(pa)).toBeLessThanOrEqual(numberOf(row![i]) * (1 + 1e-9));
    });
    // Next to no gate lets the boost creep off the map; a wide one leaves nothing where no loss asks for any compression: each has a word of its own.
    expect(lowestWithGateOpen(gated(input, 1 * MM2), [here], speeds)).toEqual([speeds.map(() => null)]);
    const [inletPath, chargePath] = [
      { ...input.inletPath, lossPa: 0 },
      { ...input.chargePath, lossPa: 0 },
    ];
    const free = { ...gated(input, 5 * needs), inletPath, chargePath };
    expect(lowestWithGateOpen(free, [here], speeds)).toEqual([speeds.map(() => 'none')]);
    expect(lowestWithGateOpen(input, [here], speeds)).toBeNull();
    const none = { ...small, turbine: { ...small.turbine, hasGate: false } };
    expect(lowestWithGateOpen(none, [here], speeds)).toBeNull();
  });

  it('next to none at all: the boost creeps off the map, which is said', () => {
    const line = solveOperatingLine(gated(input, 1 * MM2));
    expect(line.some(({ status }) => status === 'gate-too-small')).toBe(true);
    expect(findings(line, gated(input, 1 * MM2)).map(({ code }) => code)).toContain('no-point-gate-too-small');
  });

  it('is a part of its own along the line, stops the match, and no ceiling lies below what it leaves', () => {
    const small = gated(input, 0.7 * needs);
    const line = solveOperatingLine(small);
    const parts = lineParts(line, small);
    line.forEach((p, i) => {
      if (p.status === 'ok') expect(parts[i] === 'creep').toBe(p.turbine!.heldBy === 'gate');
    });
    const found = findings(line, small).find(({ code }) => code === 'gate-creep')!;
    expect(found.severity).toBe('stop');
    expect(found.values.boostPa).toBeGreaterThan(found.values.goalBoostPa!);
    const creeps = creeping(small);
    const speeds = creeps.map((p) => p.engineSpeedRpm);
    const [cells] = solveCeilings(small, [ownPlace(small)], speeds, { manifoldPressurePa: 400_000 }).cells;
    creeps.forEach((p, i) => {
      const cell = cells![i]!;
      if (cell.status === 'ok') expect(cell.manifoldPressurePa).toBeGreaterThanOrEqual(p.manifoldPressurePa - 5);
      // A limit below what the open gate leaves: nothing holds, and it is the gate that is named.
      const under = { manifoldPressurePa: 0.98 * p.manifoldPressurePa };
      const [[none]] = solveCeilings(small, [ownPlace(small)], [p.engineSpeedRpm], under).cells as [
        [(typeof cells & {})[number]],
      ];
      expect(none).toMatchObject({ status: 'none-holds', binding: 'gate' });
    });
  });

  it('of two turbos on twice the engine creeps as that of one: the area is of each', () => {
    const one = gated({ ...input, turbine: { ...input.turbine!, inletTemperatureK: constant(1173) } }, 0.7 * needs);
    const twice = { ...one.engine, displacementM3: 2 * one.engine.displacementM3 };
    const two = { ...one, turboCount: 2, engine: twice };
    const [single, pair] = [creeping(one), creeping(two)];
    expect(pair.length).toBe(single.length);
    single.forEach((p, i) => {
      const q = pair[i]!;
      expect(Math.abs(q.manifoldPressurePa / p.manifoldPressurePa - 1)).toBeLessThan(1e-9);
      expect(Math.abs(q.turbine!.gateAreaM2! / p.turbine!.gateAreaM2! - 1)).toBeLessThan(1e-9);
      expect(Math.abs(q.airMassFlowKgPerS / p.airMassFlowKgPerS - 2)).toBeLessThan(1e-8);
    });
    const said = findings(solveOperatingLine(two), two).find(({ code }) => code === 'gate-creep');
    expect(said?.values.turbos).toBe(2);
  });

  it('no gate at all has no size', () => {
    const base = gated(input, 10 * MM2);
    const none = { ...base, turbine: { ...base.turbine, hasGate: false } };
    const plain = { ...input, turbine: { ...input.turbine!, hasGate: false } };
    expect(solveOperatingLine(none)).toEqual(solveOperatingLine(plain));
  });
});

describe('its flow coefficient in the spread', () => {
  const open = example();
  const none = Object.fromEntries(Object.keys(USUAL_TOLERANCES).map((key) => [key, 0])) as Record<
    keyof Tolerances,
    number
  >;

  it('a lower flow coefficient of the gate never creeps less, sample by sample; its band is that of the whole solve', () => {
    const areas = solveOperatingLine(open).map((p) => (p.status === 'ok' ? p.turbine!.gateAreaM2! : 0));
    // Where the gate takes most it creeps in every sample; at the others in some, or none.
    const speeds = [3400, 4600, open.engineSpeedsRpm[areas.indexOf(Math.max(...areas))]!];
    const withShare = (share: number): MatchInput => {
      const turbine = { ...typicalTurbine(1), gateAreaM2: 0.82 * share * Math.max(...areas) };
      return { ...open, turbine, engineSpeedsRpm: speeds };
    };
    const started = startSpread(withShare(1), { ...none, gateFlow: 0.1 }, { samples: 256, ceilingSamples: 0 });
    if (!started.ok) throw new Error(started.message);
    const { run } = started;
    while (run.step(64));
    const spread = run.result();
    const order = Array.from(run.deviations.gateFlow.keys()).sort(
      (a, b) => run.deviations.gateFlow[a]! - run.deviations.gateFlow[b]!,
    );
    let crept = 0;
    let always = 0;
    run.records.forEach(({ values }, k) => {
      const boosts = order.map((sample) => values.manifoldPressurePa[sample]!);
      for (let i = 1; i < boosts.length; i++) expect(boosts[i]).toBeLessThanOrEqual(boosts[i - 1]! * (1 + 1e-6));
      const held = solveOperatingLine({ ...open, engineSpeedsRpm: speeds })[k]!;
      const heldPa = held.status === 'ok' ? held.manifoldPressurePa : Number.NaN;
      const { bands, influences } = spread.atSpeeds[k]!;
      const { p10, p90 } = bands.manifoldPressurePa!;
      // Half a tolerance is a standard deviation; 80 of 100 lie within 1.2816 of them (table of the normal distribution).
      const [most, least] = [-1, 1].map((sign) => {
        const point = solveOperatingLine(withShare(1 + (sign * 1.2816 * 0.1) / 2))[k]!;
        return point.status === 'ok' ? point.manifoldPressurePa : Number.NaN;
      });
      if (!(most! > least! * 1.001)) return;
      crept += 1;
      expect(Math.abs((p90 - p10) / (most! - least!) - 1)).toBeLessThan(0.05);
      const [first] = influences.manifoldPressurePa!;
      expect(first!.key).toBe('gateFlow');
      if (!(boosts.at(-1)! > 1.001 * heldPa)) return;
      always += 1;
      expect(first!.effect).toBeLessThan(0);
    });
    expect([crept > 0, always > 0]).toEqual([true, true]);
  });

  it('without a gate entered, or without a gate, its tolerance changes no digit', () => {
    const turbine = typicalTurbine(2.2);
    const options = { samples: 256, engineSpeedsRpm: [2600, 5000], ceilingSamples: 0 };
    for (const bent of [turbine, { ...turbine, gateAreaM2: 1e-5, hasGate: false }]) {
      const results = [0, 0.2, 0.6].map((gateFlow) => {
        const spread = solveSpread({ ...open, turbine: bent }, { ...USUAL_TOLERANCES, gateFlow }, options);
        if (spread.status !== 'done') throw new Error('not done');
        return { ...spread, tolerances: null };
      });
      expect(results[1]).toEqual(results[0]);
      expect(results[2]).toEqual(results[0]);
    }
  });
});

describe('random builds', () => {
  it('a larger gate never raises the boost, and what creeps balances', () => {
    const random = generator(1215);
    let crept = 0;
    for (let build = 0; build < 60; build++) {
      const drawn = soundBuild(random);
      const turbine = randomTurbine(random, drawn);
      const litres = drawn.engine.displacementM3 * 1e3;
      const asked = drawn.ambient.pressurePa * (1.1 + 0.7 * random());
      const goal = { kind: 'manifold-pressure', curve: constant(asked) } as const;
      const input = { ...drawn, goal, turbine: { ...turbine, capacityFactor: (0.4 + 0.6 * random()) * litres * 0.5 } };
      const line = solved(solveOperatingLine({ ...input, engineSpeedsRpm: input.engineSpeedsRpm.slice(0, 3) }));
      for (const point of line) {
        const needs = point.turbine!.gateAreaM2!;
        if (!(needs > 0)) continue;
        let before = Number.POSITIVE_INFINITY;
        for (const share of [0.3, 0.5, 0.7, 0.85, 0.97, 1.1]) {
          const small = gated({ ...input, engineSpeedsRpm: [point.engineSpeedRpm] }, share * needs);
          const [here] = solveOperatingLine(small);
          if (here?.status !== 'ok') {
            expect(here?.status, `build ${build}`).toBe('gate-too-small');
            expect(before, `build ${build}, ${share}`).toBe(Number.POSITIVE_INFINITY);
            continue;
          }
          expect(here.manifoldPressurePa, `build ${build}, ${share}`).toBeLessThanOrEqual(before * (1 + 1e-7));
          expect(here.manifoldPressurePa).toBeGreaterThanOrEqual(asked * (1 - 1e-9));
          before = here.manifoldPressurePa;
          if (here.turbine!.heldBy !== 'gate') continue;
          crept += 1;
          const { flowKgPerS } = exhaustOf(here, small, small.turbine);
          const sum = here.turbine!.massFlowKgPerS + passes(here, small, share * needs);
          expect(Math.abs(sum / flowKgPerS - 1)).toBeLessThan(1e-6);
          expect(Math.abs(drivenBalances(here, small).energy!)).toBeLessThan(1e-6);
        }
        expect(before / asked).toBeCloseTo(1, 8);
      }
    }
    expect(crept).toBeGreaterThan(100);
  });
});
