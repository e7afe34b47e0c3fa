import { describe, expect, it } from 'vitest';
import { DRY_AIR_GAS_CONSTANT, density, moistAir } from '../../../src/air/index.ts';
import { demoV6 } from '../../../src/build/demo.ts';
import { toMatchInput } from '../../../src/build/index.ts';
import { lossCoefficient, pressureBefore } from '../../../src/engine/index.ts';
import { type MatchInput, type OperatingPointSolved, readRoadLog } from '../../../src/match/index.ts';
import { generator } from '../random-builds.ts';
import { demoInput, logOf, normal, readingsOf, solvedAt, steps } from './made-log.ts';

const V6 = toMatchInput(demoV6(), 0);
const SPEEDS = steps(2500, 6500, 50);
const POINTS = solvedAt(V6, SPEEDS);

/**
 * By code of its own: the shaft speed that a turbo of this share of the engine's air turns at, between the ambient and the manifold
 * pressure of a solved point: the loss of a branch by its own flow, a shared one by that of both.
 */
function shaftSpeed(input: MatchInput, point: OperatingPointSolved, share: number): number {
  const { pressurePa: p0, temperatureK: T0, vapourMoleFraction } = input.ambient;
  const gas = moistAir(vapourMoleFraction)!;
  const { reference } = input.compressor;
  const root = Math.sqrt(
    (gas.gasConstant * (T0 + input.inletPath.heatingK)) / (DRY_AIR_GAS_CONSTANT * reference.temperatureK),
  );
  const flow = (point.airMassFlowKgPerS / 2) * share;
  const mean = point.airMassFlowKgPerS / 2;
  const [inlet, charge] = [input.inletPath, input.chargePath].map((path) => (path.of === 'shared' ? mean : flow));
  const p01 = p0 - (lossCoefficient(input.inletPath, 2) * inlet! * inlet!) / density(gas, p0, T0);
  const K = lossCoefficient(input.chargePath, 2);
  const p02 = pressureBefore(point.manifoldPressurePa, K, charge!, gas.gasConstant, point.compressorOutletTemperatureK);
  return input.compressor.at((flow * root * reference.pressurePa) / p01, p02 / p01).correctedSpeedRpm! * root;
}

/** A log of two shafts, the first passing exp(log) times the air of the second. */
function twoShafts(log: number, noise: (i: number) => number = () => 0, input = V6, points = POINTS) {
  const share = 2 / (1 + Math.exp(-log));
  const first = points.map((point, i) => shaftSpeed(input, point, share) * (1 + noise(2 * i)));
  const second = points.map((point, i) => shaftSpeed(input, point, 2 - share) * (1 + noise(2 * i + 1)));
  const log2 = logOf({ ...readingsOf(points), shaftSpeed: first, secondShaftSpeed: second });
  return { first, second, result: readRoadLog(input, log2) };
}

describe('two shaft speeds', () => {
  it('the made log of equal turbos is the line', () => {
    for (const point of POINTS) expect(shaftSpeed(V6, point, 1) / point.shaftSpeedRpm).toBeCloseTo(1, 6);
  });

  const branches: MatchInput = {
    ...V6,
    inletPath: { ...V6.inletPath, of: 'branch' },
    chargePath: { ...V6.chargePath, of: 'branch' },
  };
  const ofBranches = solvedAt(branches, SPEEDS);
  const shared: MatchInput = {
    ...V6,
    inletPath: { ...V6.inletPath, lossPa: 3 * V6.inletPath.lossPa, of: 'shared' },
    chargePath: { ...V6.chargePath, of: 'shared' },
  };
  const ofShared = solvedAt(shared, SPEEDS);
  const known = [0.08, 0.03, -0.03, -0.08].flatMap((log) => [
    ['branches', log, branches, ofBranches] as const,
    ['shared', log, shared, ofShared] as const,
  ]);
  it.each(known)('%s: an imbalance of %d in ln(W1/W2) is found, and which side it is', (_, log, input, points) => {
    const { found, rows } = twoShafts(log, undefined, input, points).result.imbalance!;
    expect(rows).toBeGreaterThan(20);
    expect(Math.abs(found!.value - log)).toBeLessThan(0.02 * Math.abs(log));
    expect(found!.differ).toBe(true);
  });

  /** Of two pickups, one standard deviation of each as a share. */
  const noiseOf = (deviation: number, seed: number) => {
    const gauss = normal(generator(seed));
    return () => deviation * gauss();
  };

  it('is seen at the top alone: the two speeds part there, and hardly at the bottom', () => {
    const { first, second } = twoShafts(0.08);
    const apart = first.map((n, i) => Math.log(n / second[i]!));
    expect(apart.at(-1)!).toBeGreaterThan(2 * apart[0]!);
    const { found, unseen, rows } = twoShafts(0.08, noiseOf(0.003, 1)).result.imbalance!;
    expect(unseen).toBeGreaterThan(5);
    expect(rows).toBeGreaterThan(20);
    expect(found!.rangeRpm[0]).toBeGreaterThan(SPEEDS[0]!);
    expect(found!.rangeRpm[1]).toBeGreaterThan(6000);
  });

  it('the band holds what two pickups with noise make of equal turbos', () => {
    for (const seed of [1, 2, 3, 4, 5, 6]) {
      const noise = noiseOf(0.0015, seed);
      const { found } = twoShafts(0, noise).result.imbalance!;
      expect(Math.abs(found!.value), `${seed}`).toBeLessThan(3 * found!.standardDeviation);
      expect(found!.differ).toBe(false);
      expect(found!.standardDeviation).toBeLessThan(0.01);
      const apart = twoShafts(0.08, noise).result.imbalance!.found!;
      expect(Math.abs(apart.value - 0.08), `${seed}`).toBeLessThan(4 * apart.standardDeviation);
      expect(apart.differ).toBe(true);
    }
  });

  it('it is said once, with how much; of one turbo it is said that there is one, and without a second shaft nothing is', () => {
    const codes = (result: ReturnType<typeof readRoadLog>) =>
      result.warnings
        .filter(({ code }) => /imbalance|second-shaft/.test(code))
        .map(({ severity, code }) => `${severity} ${code}`);
    expect(codes(twoShafts(0.08).result)).toEqual(['caution imbalance']);
    expect(codes(twoShafts(0).result)).toEqual(['note imbalance']);
    const one = demoInput(0);
    const points = solvedAt(one, steps(3000, 6500, 100));
    const read = readingsOf(points);
    const single = readRoadLog(one, logOf({ ...read, secondShaftSpeed: read.shaftSpeed }));
    expect(single.imbalance).toBeNull();
    expect(codes(single)).toEqual(['note second-shaft-of-one']);
    expect(codes(readRoadLog(one, logOf(read)))).toEqual([]);
    expect(readRoadLog(V6, logOf(readingsOf(POINTS))).imbalance).toBeNull();
  });

  it('where the map tells nowhere, that is said, and no number is', () => {
    const low = POINTS.filter(({ engineSpeedRpm }) => engineSpeedRpm <= 3600);
    const { imbalance, warnings } = twoShafts(0.08, noiseOf(0.02, 7), V6, low).result;
    expect(imbalance).toMatchObject({ found: null });
    expect(warnings.map(({ code }) => code)).toContain('imbalance-unseen');
  });
});
