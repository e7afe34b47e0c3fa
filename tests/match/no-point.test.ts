import { describe, expect, it } from 'vitest';
import {
  type MatchInput,
  type NoPointReason,
  type OperatingPointMissing,
  solveOperatingLine,
} from '../../src/match/index.ts';
import { analyticSurface } from './analytic-surface.ts';
import { exampleInput } from './example-input.ts';

const constant = (value: number) => [{ engineSpeedRpm: 1000, value }];

function missing(changes: Partial<MatchInput>): OperatingPointMissing {
  const [point] = solveOperatingLine(exampleInput({ engineSpeedsRpm: [4500], ...changes }));
  if (point === undefined || point.status === 'ok') throw new Error('there is a point');
  return point;
}

const example = exampleInput();
const boost = (pascal: number): Pick<MatchInput, 'goal'> => ({
  goal: { kind: 'gauge-boost', curve: constant(pascal) },
});

/** One case for each reason, each the plainest build that leads to it. */
const CASES: readonly [NoPointReason, string, Partial<MatchInput>][] = [
  ['left-of-map', 'high boost at little flow', { ...boost(150_000), engineSpeedsRpm: [1500] }],
  [
    'right-of-map',
    'a huge engine on little boost',
    { ...boost(40_000), engine: { ...example.engine, displacementM3: 6e-3 } },
  ],
  ['above-map', 'more pressure than the top line holds', boost(340_000)],
  ['no-compression', 'a goal below what the engine draws', boost(-20_000)],
  ['inlet-exhausted', 'a closed filter', { inletPath: { ...example.inletPath, lossPa: 300_000 } }],
  ['no-efficiency', 'a map without efficiency and none assumed', { compressor: analyticSurface(undefined, false) }],
  [
    'unreachable-goal',
    'power that heats its own charge away',
    {
      goal: { kind: 'brake-power', curve: constant(5e7) },
      chargePath: { ...example.chargePath, cooler: { kind: 'none' } },
      inletPath: { ...example.inletPath, lossPa: 0 },
    },
  ],
  ['bad-input', 'no displacement', { engine: { ...example.engine, displacementM3: 0 } }],
  ['not-converged', 'a map whose efficiency jumps', { compressor: jumping() }],
];

/** Efficiency falls from 0.8 to 0.5 exactly where the loop would settle. */
function jumping() {
  const surface = analyticSurface();
  return { ...surface, at: (W: number, PR: number) => ({ ...surface.at(W, PR), efficiency: W > 0.2041 ? 0.5 : 0.8 }) };
}

describe('no point', () => {
  it.each(CASES)('%s: %s', (reason, _name, changes) => {
    const point = missing(changes);
    expect(point.status).toBe(reason);
    expect(point.message).toMatch(/^[A-Z].*\.$/);
    expect(point.message).not.toContain('. ');
    const hasDemand = !['inlet-exhausted', 'unreachable-goal', 'bad-input'].includes(reason);
    expect(point.demand !== undefined).toBe(hasDemand);
  });

  it('gives the demand that could not be met: flow and pressure ratio as the engine asks for them', () => {
    const { demand } = missing(boost(340_000));
    // p02/p01 of a boost of 340 kPa, losses aside: a little above 4.36.
    expect(demand?.pressureRatio).toBeGreaterThan(441_325 / 101_325);
    expect(demand?.pressureRatio).toBeLessThan(4.8);
    expect(demand?.correctedMassFlowKgPerS).toBeGreaterThan(0.3);
  });

  it.each([
    ['Displacement', { engine: { ...example.engine, displacementM3: Number.NaN } }],
    ['Lambda', { engine: { ...example.engine, lambda: constant(0) } }],
    ['Volumetric efficiency', { engine: { ...example.engine, volumetricEfficiency: [] } }],
    [
      'Brake specific fuel consumption',
      {
        engine: {
          ...example.engine,
          bsfcKgPerJ: [
            { engineSpeedRpm: 3000, value: 1 },
            { engineSpeedRpm: 2000, value: 1 },
          ],
        },
      },
    ],
    ['Ambient temperature', { ambient: { ...example.ambient, temperatureK: 20 } }],
    ['Flow at which the inlet path loss', { inletPath: { ...example.inletPath, atMassFlowKgPerS: 0 } }],
    [
      'Cooler effectiveness',
      {
        chargePath: { ...example.chargePath, cooler: { kind: 'cooler', effectiveness: 1.2, coolantTemperatureK: 300 } },
      },
    ],
    ['The boost', boost(-200_000)],
    ['Engine speed', { engineSpeedsRpm: [-1] }],
    ['Maximum shaft speed', { limits: { shaftSpeedRpm: Number.NaN } }],
  ] as const)('names the number that is wrong: %s', (name, changes) => {
    const point = missing(changes as Partial<MatchInput>);
    expect(point.status).toBe('bad-input');
    expect(point.message.startsWith(name)).toBe(true);
  });

  it('a fault at one engine speed leaves the others their points', () => {
    const points = solveOperatingLine(exampleInput({ engineSpeedsRpm: [4000, Number.NaN, 5000] }));
    expect(points.map((p) => p.status)).toEqual(['ok', 'bad-input', 'ok']);
  });

  it('a map without efficiency works with an assumed one, and the points say so', () => {
    const points = solveOperatingLine(
      exampleInput({ compressor: analyticSurface(undefined, false), assumedEfficiency: 0.7 }),
    );
    for (const point of points) expect(point).toMatchObject({ status: 'ok', efficiency: 0.7, efficiencyAssumed: true });
  });
});
