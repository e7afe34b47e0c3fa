import { describe, expect, it } from 'vitest';
import {
  findings,
  type MatchInput,
  type OperatingPointSolved,
  ownPlace,
  solveCeilings,
  solveOperatingLine,
  solveSpread,
  USUAL_TOLERANCES,
} from '../../src/match/index.ts';
import type { Curve } from '../../src/numerics/types.ts';
import { exampleInput } from './example-input.ts';
import { typicalTurbine } from './typical-turbine.ts';

const AS_ONE = 1e-9;
const COUNTS = [2, 3, 4] as const;
const constant = (value: number): Curve => [{ engineSpeedRpm: 3000, value }];

/** Falling cooler, injectors and a turbine with its temperature entered: all that flow goes through. */
function oneTurbo(changes: Partial<MatchInput> = {}): MatchInput {
  const plain = exampleInput();
  return exampleInput({
    engine: {
      ...plain.engine,
      fuelSupply: {
        injectorCount: 4,
        injectorFlowM3PerS: 1.8e-5,
        injectorRatedPressurePa: 1e7,
        railPressurePa: 1.5e7,
        railReference: 'ambient',
        dutyLimit: 0.35,
        pumpFlowM3PerS: 4e-5,
      },
    },
    chargePath: {
      ...plain.chargePath,
      cooler: {
        kind: 'cooler',
        effectiveness: 0.75,
        effectivenessAtFlow: [
          { massFlowKgPerS: 0.1, effectiveness: 0.75 },
          { massFlowKgPerS: 0.3, effectiveness: 0.62 },
        ],
        coolantTemperatureK: 298.15,
      },
    },
    limits: { ...plain.limits, brakePowerW: 210_000, backPressureRatio: 1.6 },
    turbine: typicalTurbine(2.6, { inletTemperatureK: constant(1173) }),
    ...changes,
  });
}

const timesCurve = (curve: Curve, n: number): Curve => curve.map((point) => ({ ...point, value: n * point.value }));

/** n turbos on n times the engine, its cylinders of the same size. */
function several(input: MatchInput, n: number): MatchInput {
  const { engine, limits, goal } = input;
  const supply = engine.fuelSupply;
  const isPower = goal.kind === 'brake-power' || goal.kind === 'wheel-power';
  return {
    ...input,
    turboCount: n,
    engine: {
      ...engine,
      displacementM3: n * engine.displacementM3,
      cylinders: n * (engine.cylinders ?? 4),
      ...(supply === undefined
        ? {}
        : {
            fuelSupply: {
              ...supply,
              injectorCount: n * supply.injectorCount,
              pumpFlowM3PerS: n * (supply.pumpFlowM3PerS ?? 0),
            },
          }),
    },
    goal: isPower ? { ...goal, curve: timesCurve(goal.curve, n) } : goal,
    limits: limits.brakePowerW === undefined ? limits : { ...limits, brakePowerW: n * limits.brakePowerW },
  };
}

/** What is the engine's grows with it; all else is of one turbo. */
const OF_THE_ENGINE = new Set(['airMassFlowKgPerS', 'fuelMassFlowKgPerS', 'brakePowerW', 'wheelPowerW', 'torqueNm']);

/** The largest relative difference of any number of two results of the same shape; Infinity where they differ in anything else. */
function apart(one: unknown, many: unknown, n: number, key = ''): number {
  if (typeof one === 'number' && typeof many === 'number') {
    const wanted = OF_THE_ENGINE.has(key) ? n * one : one;
    return wanted === many ? 0 : Math.abs(many - wanted) / Math.max(Math.abs(wanted), 1e-6);
  }
  if (typeof one !== 'object' || typeof many !== 'object' || one === null || many === null) {
    return one === many ? 0 : Number.POSITIVE_INFINITY;
  }
  const keys = new Set([...Object.keys(one), ...Object.keys(many)]);
  const at = (of: object, k: string) => (of as Record<string, unknown>)[k];
  return Math.max(0, ...[...keys].map((k) => apart(at(one, k), at(many, k), n, Array.isArray(one) ? key : k)));
}

const solvedOf = (input: MatchInput) =>
  solveOperatingLine(input).filter((point): point is OperatingPointSolved => point.status === 'ok');

const INPUTS: readonly (readonly [string, MatchInput])[] = [
  ['without a turbine', oneTurbo({ turbine: undefined })],
  ['with one, gate and shut gate', oneTurbo()],
  ['with its inlet temperature estimated', oneTurbo({ turbine: typicalTurbine(2.6) })],
  ['off the map', oneTurbo({ goal: { kind: 'gauge-boost', curve: constant(320_000) } })],
  ['with a power goal', oneTurbo({ goal: { kind: 'brake-power', curve: constant(150_000) } })],
  [
    'with a wheel power goal and no turbine',
    oneTurbo({ turbine: undefined, goal: { kind: 'wheel-power', curve: constant(140_000) } }),
  ],
];

describe('n equal turbos on n times the engine, each with its own paths', () => {
  for (const n of COUNTS) {
    it.each(INPUTS)(`${n} turbos %s: every number of the line is that of one on one, or n times it`, (_, input) => {
      const one = solveOperatingLine(input);
      const many = solveOperatingLine(several(input, n));
      expect(one.some((point) => point.status === 'ok') || one.every((point) => 'demand' in point)).toBe(true);
      expect(apart(one, many, n)).toBeLessThan(AS_ONE);
    });
  }

  it('the line has points that the gate holds and points that the turbine limits', () => {
    expect(new Set(solvedOf(oneTurbo()).map(({ turbine }) => turbine?.heldBy))).toEqual(new Set(['goal', 'turbine']));
  });

  it('the same is found about it, and the same ceilings with what binds', () => {
    const input = oneTurbo();
    for (const n of COUNTS) {
      const more = several(input, n);
      const said = (of: MatchInput) => findings(solveOperatingLine(of), of);
      const facts = (of: MatchInput) =>
        said(of).map(({ code, severity, engineSpeedRpm, rangeRpm }) => ({ code, severity, engineSpeedRpm, rangeRpm }));
      expect(facts(more)).toEqual(facts(input));
      const ceilings = (of: MatchInput) => solveCeilings(of, [ownPlace(of)], [2500, 4500, 7000]).cells;
      expect(apart(ceilings(input), ceilings(more), n)).toBeLessThan(AS_ONE);
    }
  });

  it('the same bands of every sample, those of air and power n times as wide, and the same chances', () => {
    const spreadOf = (of: MatchInput) =>
      solveSpread(of, USUAL_TOLERANCES, { samples: 64, ceilingSamples: 16, engineSpeedsRpm: [2500, 6000] });
    const [one, two] = [spreadOf(oneTurbo()), spreadOf(several(oneTurbo(), 2))];
    if (one.status !== 'done' || two.status !== 'done') throw new Error('not done');
    const bandsOf = (spread: typeof one, n: number) =>
      spread.atSpeeds.map(({ bands, crossedBy, crossedShare, solved }) => {
        const perTurbo = Object.entries(bands).map(([key, band]) => {
          const factor = OF_THE_ENGINE.has(key) ? n : 1;
          return [key, band && [band.p10, band.p50, band.p90].map((value) => value / factor)];
        });
        return { ...Object.fromEntries(perTurbo), crossedBy, crossedShare, solved };
      });
    expect(one.atSpeeds.map(({ solved }) => solved)).toEqual([64, 64]);
    expect(apart(bandsOf(one, 1), bandsOf(two, 2), 1)).toBeLessThan(AS_ONE);
    expect(
      apart(
        one.ceilings.map(({ band }) => band),
        two.ceilings.map(({ band }) => band),
        1,
      ),
    ).toBeLessThan(AS_ONE);
  });
});

describe('branch and shared', () => {
  const input = several(oneTurbo(), 2);
  const shared = (of: MatchInput, flowFactor: number): MatchInput => {
    const turbine = of.turbine;
    const share = <L extends { atMassFlowKgPerS: number }>(loss: L) => ({
      ...loss,
      of: 'shared' as const,
      atMassFlowKgPerS: flowFactor * loss.atMassFlowKgPerS,
    });
    const { cooler } = of.chargePath;
    const scaled =
      cooler.kind === 'none' || cooler.effectivenessAtFlow === undefined
        ? cooler
        : {
            ...cooler,
            effectivenessAtFlow: cooler.effectivenessAtFlow.map((point) => ({
              ...point,
              massFlowKgPerS: flowFactor * point.massFlowKgPerS,
            })),
          };
    return {
      ...of,
      inletPath: share(of.inletPath),
      chargePath: { ...share(of.chargePath), cooler: scaled },
      ...(turbine === undefined ? {} : { turbine: { ...turbine, exhaustLoss: share(turbine.exhaustLoss) } }),
    };
  };

  it('a loss shared at n times the flow is that of a branch at the flow: K shared = K branch / n^2', () => {
    for (const n of COUNTS) {
      const branches = several(oneTurbo(), n);
      expect(apart(solveOperatingLine(branches), solveOperatingLine(shared(branches, n)), 1)).toBeLessThan(AS_ONE);
    }
  });

  it('only where it is marked so: each path marked shared at the same flow costs pressure or temperature of its own', () => {
    const at = (of: MatchInput) => solvedOf({ ...of, turbine: of.turbine, engineSpeedsRpm: [5500] })[0]!;
    const branches = at(input);
    const all = shared(input, 1);
    const inlet = at({ ...input, inletPath: all.inletPath });
    const charge = at({ ...input, chargePath: { ...input.chargePath, of: 'shared' } });
    const exhaust = at({ ...input, turbine: all.turbine });
    expect(inlet.compressorInletPressurePa).toBeLessThan(branches.compressorInletPressurePa - 2000);
    expect(charge.compressorOutletPressurePa).toBeGreaterThan(branches.compressorOutletPressurePa + 5000);
    expect(charge.manifoldTemperatureK).toBeGreaterThan(branches.manifoldTemperatureK + 2);
    expect(exhaust.turbine?.outletPressurePa).toBeGreaterThan((branches.turbine?.outletPressurePa ?? 0) + 10_000);
  });

  it('one turbo: the mark and the number 1 leave every digit as it was', () => {
    for (const [, plain] of INPUTS) {
      const bare = solveOperatingLine(plain);
      expect(solveOperatingLine({ ...plain, turboCount: 1 })).toEqual(bare);
      expect(solveOperatingLine(shared({ ...plain, turboCount: 1 }, 1))).toEqual(bare);
    }
  });
});

describe('on one and the same engine', () => {
  it('two turbos of half the size each are driven as one: power and temperatures the same, speeds by the map', () => {
    const one = oneTurbo();
    const estimated = (count: number) => solvedOf({ ...one, turboCount: count, turbine: typicalTurbine(1.7 / count) });
    const [single, twin] = [estimated(1), estimated(2)];
    // The engine gives off the same heat whatever hangs behind it.
    const t3 = (points: readonly OperatingPointSolved[]) => points.map((point) => point.turbine?.inletTemperatureK);
    expect(t3(twin.slice(-3))).toEqual(t3(single.slice(-3)));
    for (const point of twin) {
      const { turbine, airMassFlowKgPerS, fuelMassFlowKgPerS, wastegateShare } = point;
      const exhaust = (airMassFlowKgPerS + fuelMassFlowKgPerS) / 2;
      expect((turbine!.massFlowKgPerS + wastegateShare! * exhaust) / exhaust).toBeCloseTo(1, 7);
      expect((turbine!.powerW * 0.95) / point.compressorPowerW).toBeCloseTo(1, 6);
    }
  });

  it('more turbos of the same kind lie further left on their map', () => {
    const flow = (count: number) =>
      solvedOf(oneTurbo({ turbine: undefined, turboCount: count, engineSpeedsRpm: [6500] }))[0]
        ?.correctedMassFlowKgPerS;
    expect(flow(2)! / flow(1)!).toBeGreaterThan(0.48);
    expect(flow(2)! / flow(1)!).toBeLessThan(0.52);
  });
});

it.each([0, 5, 1.5, -1, Number.NaN])('%s turbos are refused with what can be', (turboCount) => {
  const [point] = solveOperatingLine(oneTurbo({ turboCount }));
  expect(point).toMatchObject({
    status: 'bad-input',
    message: 'The number of turbos must be 1, 2, 3 or 4: equal turbos in parallel.',
  });
});
