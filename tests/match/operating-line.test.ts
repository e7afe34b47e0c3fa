import { describe, expect, it } from 'vitest';
import { standardAtmosphere } from '../../src/air/index.ts';
import { demoBuild } from '../../src/build/demo.ts';
import { toMatchInput } from '../../src/build/index.ts';
import {
  type MatchInput,
  type OperatingPoint,
  type OperatingPointSolved,
  solveOperatingLine,
} from '../../src/match/index.ts';
import { analyticSurface, MEDIUM } from './analytic-surface.ts';
import { balances } from './balances.ts';
import { drivenBalances } from './driven-balances.ts';
import { exampleInput } from './example-input.ts';

function isSolved(point: OperatingPoint): point is OperatingPointSolved {
  return point.status === 'ok';
}

function solvedAll(input: MatchInput): OperatingPointSolved[] {
  const points = solveOperatingLine(input);
  expect(points.map((point) => point.status)).toEqual(points.map(() => 'ok'));
  return points.filter(isSolved);
}

function atAltitude(input: MatchInput, altitudeM: number): MatchInput {
  const { pressurePa, temperatureK } = standardAtmosphere(altitudeM)!;
  return { ...input, ambient: { ...input.ambient, pressurePa, temperatureK } };
}

const constant = (value: number) => [{ engineSpeedRpm: 1000, value }];
const SPEEDS = [3500, 4500, 5500, 6500];

describe('solveOperatingLine', () => {
  it('answers every engine speed, in the order asked for, also none', () => {
    const speeds = [6000, 3500, 4500, 3500];
    expect(solveOperatingLine(exampleInput({ engineSpeedsRpm: speeds })).map((p) => p.engineSpeedRpm)).toEqual(speeds);
    expect(solveOperatingLine(exampleInput({ engineSpeedsRpm: [] }))).toEqual([]);
  });

  it('gives the same point whatever stands beside it', () => {
    const alone = solveOperatingLine(exampleInput({ engineSpeedsRpm: [5000] }));
    expect(solveOperatingLine(exampleInput({ engineSpeedsRpm: [3000, 5000, 7000] }))[1]).toEqual(alone[0]);
  });

  it('closes every balance to 1e-6 on the fitted maps of the demo build', () => {
    for (const candidate of [0, 1]) {
      const input = {
        ...toMatchInput(demoBuild(), candidate),
        engineSpeedsRpm: Array.from({ length: 50 }, (_, i) => 1500 + 110 * i),
      };
      const solved = solveOperatingLine(input).filter(isSolved);
      expect(solved.length).toBeGreaterThan(25);
      for (const point of solved) {
        const residuals = point.turbine === null ? balances(point, input) : drivenBalances(point, input);
        for (const [name, residual] of Object.entries(residuals)) {
          expect(Math.abs(residual), `${name} at ${point.engineSpeedRpm} rpm`).toBeLessThan(1e-6);
        }
      }
    }
  });

  it('moves smoothly along the line on a fitted map: no step between neighbouring engine speeds', () => {
    const input = {
      ...toMatchInput(demoBuild(), 0),
      engineSpeedsRpm: Array.from({ length: 400 }, (_, i) => 3000 + 8 * i),
    };
    const solved = solveOperatingLine(input).filter(isSolved);
    for (const [i, point] of solved.entries()) {
      const next = solved[i + 1];
      if (next === undefined || next.engineSpeedRpm - point.engineSpeedRpm > 8) continue;
      expect(Math.abs(next.shaftSpeedRpm / point.shaftSpeedRpm - 1)).toBeLessThan(0.004);
      expect(Math.abs(next.airMassFlowKgPerS / point.airMassFlowKgPerS - 1)).toBeLessThan(0.006);
    }
  });
});

describe('goals', () => {
  const lineFor = (goal: MatchInput['goal']) => solvedAll(exampleInput({ goal, engineSpeedsRpm: SPEEDS }));

  it('of all four kinds describe the same point when they ask for the same', () => {
    const boost = lineFor({ kind: 'gauge-boost', curve: constant(100_000) });
    const absolute = lineFor({ kind: 'manifold-pressure', curve: constant(201_325) });
    const power = boost.map((p) => ({ engineSpeedRpm: p.engineSpeedRpm, value: p.brakePowerW }));
    const wheel = boost.map((p) => ({ engineSpeedRpm: p.engineSpeedRpm, value: p.wheelPowerW }));
    const lines = [
      absolute,
      lineFor({ kind: 'brake-power', curve: power }),
      lineFor({ kind: 'wheel-power', curve: wheel }),
    ];
    for (const line of lines) {
      for (const [i, point] of line.entries()) {
        for (const key of [
          'manifoldPressurePa',
          'shaftSpeedRpm',
          'brakePowerW',
          'efficiency',
          'airMassFlowKgPerS',
        ] as const) {
          expect(Math.abs(point[key] / boost[i]![key] - 1)).toBeLessThan(2e-7);
        }
      }
    }
  });

  it('in gauge and in absolute pressure part at altitude: a gauge goal lets the absolute pressure fall', () => {
    const high = atAltitude(exampleInput({ engineSpeedsRpm: SPEEDS }), 2000);
    const gauge = solvedAll({ ...high, goal: { kind: 'gauge-boost', curve: constant(90_000) } });
    const absolute = solvedAll({ ...high, goal: { kind: 'manifold-pressure', curve: constant(191_325) } });
    for (const [i, point] of gauge.entries()) {
      expect(point.manifoldPressurePa).toBeLessThan(absolute[i]!.manifoldPressurePa);
      expect(point.shaftSpeedRpm).toBeLessThan(absolute[i]!.shaftSpeedRpm);
      expect(point.brakePowerW).toBeLessThan(absolute[i]!.brakePowerW);
    }
  });
});

// Common practice, no source: what every calibrator knows to happen.
describe('what changes what', () => {
  const base = exampleInput({ engineSpeedsRpm: SPEEDS, goal: { kind: 'gauge-boost', curve: constant(90_000) } });

  it('the same gauge boost takes more shaft speed the higher the place', () => {
    const lines = [0, 500, 1000, 1500, 2000, 2500].map((altitudeM) => solvedAll(atAltitude(base, altitudeM)));
    for (let i = 1; i < lines.length; i++) {
      for (const [k, point] of lines[i]!.entries())
        expect(point.shaftSpeedRpm).toBeGreaterThan(lines[i - 1]![k]!.shaftSpeedRpm);
    }
  });

  it.each([
    ['a dirtier filter', { inletPath: { ...base.inletPath, lossPa: 6000 } }],
    ['a tighter charge path', { chargePath: { ...base.chargePath, lossPa: 18_000 } }],
  ])('%s takes more shaft speed for the same boost and power', (_name, change) => {
    const changed = solvedAll({ ...base, ...change });
    for (const [k, point] of solvedAll(base).entries()) {
      expect(changed[k]!.shaftSpeedRpm).toBeGreaterThan(point.shaftSpeedRpm);
      expect(changed[k]!.compressorPowerW).toBeGreaterThan(point.compressorPowerW);
    }
  });

  it('a better cooler makes more power at the same boost; moist air makes less', () => {
    const cooler = { kind: 'cooler', effectiveness: 0.85, coolantTemperatureK: 298.15 } as const;
    const cooled = solvedAll({ ...base, chargePath: { ...base.chargePath, cooler } });
    const moist = solvedAll({ ...base, ambient: { ...base.ambient, vapourMoleFraction: 0.04 } });
    for (const [k, point] of solvedAll(base).entries()) {
      expect(cooled[k]!.brakePowerW).toBeGreaterThan(point.brakePowerW);
      expect(moist[k]!.brakePowerW).toBeLessThan(point.brakePowerW);
    }
  });

  it('port injection of ethanol displaces air, direct injection does not; diesel does neither way', () => {
    const engine = { ...base.engine, fuel: 'ethanol' } as const;
    const direct = solvedAll({ ...base, engine });
    const port = solvedAll({ ...base, engine: { ...engine, injection: 'port' } });
    for (const [k, point] of port.entries()) {
      // lambda 0.85: 1/(1 + 28.97/(0.85 x 9.004 x 46.07)) = 0.924 of the air, a little less cooling work aside.
      expect(point.airMassFlowKgPerS / direct[k]!.airMassFlowKgPerS).toBeCloseTo(0.925, 2);
    }
    const diesel = { ...base.engine, fuel: 'diesel' } as const;
    const lines = (['direct', 'port'] as const).map((injection) =>
      solvedAll({ ...base, engine: { ...diesel, injection } }),
    );
    expect(lines[1]).toEqual(lines[0]);
  });

  it('a two-stroke of the same size draws twice the air', () => {
    const engine = { ...base.engine, displacementM3: 1.2e-3 };
    const four = solvedAll({ ...base, engine: { ...engine, displacementM3: 2.4e-3 } });
    const two = solvedAll({ ...base, engine: { ...engine, strokesPerCycle: 2 } });
    for (const [k, point] of two.entries()) expect(point.airMassFlowKgPerS).toBeCloseTo(four[k]!.airMassFlowKgPerS, 9);
  });

  it('a cooler whose effectiveness falls with flow lies between its two ends', () => {
    const cooler = (effectiveness: number) => ({ kind: 'cooler', effectiveness, coolantTemperatureK: 298.15 }) as const;
    const falling = {
      ...cooler(0.8),
      effectivenessAtFlow: [
        { massFlowKgPerS: 0.1, effectiveness: 0.8 },
        { massFlowKgPerS: 0.35, effectiveness: 0.5 },
      ],
    };
    const [low, mid, high] = [cooler(0.5), falling, cooler(0.8)].map((c) =>
      solvedAll({ ...base, chargePath: { ...base.chargePath, cooler: c } }),
    );
    for (const [k, point] of mid!.entries()) {
      expect(point.manifoldTemperatureK).toBeLessThan(low![k]!.manifoldTemperatureK);
      expect(point.manifoldTemperatureK).toBeGreaterThan(high![k]!.manifoldTemperatureK);
    }
  });
});

describe("the map's limits come from the map unless the build has its own", () => {
  it('speed margin, tip speed and margins against the closed form', () => {
    const own = exampleInput({ engineSpeedsRpm: [5000] });
    const [point] = solvedAll({ ...own, limits: { shaftSpeedRpm: 120_000 } });
    const [mapsOwn] = solvedAll(own);
    expect(point!.speedMargin).toBeCloseTo(1 - point!.shaftSpeedRpm / 120_000, 12);
    expect(mapsOwn!.speedMargin).toBeCloseTo(1 - mapsOwn!.shaftSpeedRpm / MEDIUM.topRpm, 12);
    const n = point!.correctedSpeedRpm / MEDIUM.topRpm;
    const W = point!.correctedMassFlowKgPerS;
    const surgeRatio = 1 + (MEDIUM.topRatio - 1) * n * n * (1 - 0.62 * 0.25);
    expect(point!.surgeMargin).toBeCloseTo(
      (surgeRatio / point!.pressureRatio) * (W / (0.5 * n * MEDIUM.topFlow)) - 1,
      9,
    );
    expect(point!.chokeMargin).toBeCloseTo(1 - W / (n * MEDIUM.topFlow), 9);
    const flowAtRatio =
      0.5 * MEDIUM.topFlow * Math.sqrt((point!.pressureRatio - 1) / (MEDIUM.topRatio - 1) / (1 - 0.62 * 0.25));
    expect(point!.surgeFlowDistance).toBeCloseTo(1 - flowAtRatio / W, 9);
  });

  it('are null where nobody gave them', () => {
    const surface = analyticSurface();
    const compressor = {
      ...surface,
      limits: {},
      wheel: {},
      surgeAt: () => null,
      chokeAt: () => null,
      surgeFlowAt: () => null,
    };
    const [point] = solvedAll(exampleInput({ engineSpeedsRpm: [5000], compressor }));
    expect(point).toMatchObject({
      speedMargin: null,
      tipSpeedMPerS: null,
      surgeMargin: null,
      surgeFlowDistance: null,
      chokeMargin: null,
      injectorDuty: null,
    });
  });
});
