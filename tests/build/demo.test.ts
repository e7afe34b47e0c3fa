import { describe, expect, test } from 'vitest';
import { demoBuild } from '../../src/build/demo.ts';
import * as b from '../../src/build/index.ts';
import { findings, solveOperatingLine } from '../../src/match/index.ts';
import type { OperatingPointSolved } from '../../src/match/types.ts';

const build = demoBuild();
const solve = (index: number) => {
  const input = b.toMatchInput(build, index);
  const points = solveOperatingLine(input);
  return { input, points, findings: findings(points, input) };
};
const solved = (index: number) => solve(index).points.filter((p): p is OperatingPointSolved => p.status === 'ok');

describe('the demonstration shows what the program is for', () => {
  test('everything in it is marked as invented, and everything in it can be read', () => {
    expect(build.invented).toBe(true);
    for (const [i, { map, turbineSheet }] of build.candidates.entries()) {
      expect([map?.invented, turbineSheet?.invented]).toEqual([true, true]);
      expect(b.candidateTurbine(build, i)).toMatchObject({ from: 'sheet', problems: [], notes: [] });
      expect(b.tryMatchInput(build, i)).toMatchObject({ ok: true, notes: [] });
      expect(solved(i)).toHaveLength(19);
    }
  });

  test('the small turbo holds the goal everywhere; the larger one is short of it at the bottom and breathes better at the top', () => {
    const [small, large] = [solved(0), solved(1)];
    expect(small.filter(({ turbine }) => turbine?.heldBy === 'turbine')).toEqual([]);
    const short = large.filter(({ turbine }) => turbine?.heldBy === 'turbine').map((p) => p.engineSpeedRpm);
    // Where exactly it begins is the temperature estimate's; the goal rises steeply from 2,500 to 3,500 rpm.
    expect(short).toEqual(expect.arrayContaining([2750, 3000, 3250, 3500]));
    expect(short.every((rpm) => rpm >= 2250 && rpm <= 3750)).toBe(true);
    const top = (line: readonly OperatingPointSolved[]) => line.at(-1);
    expect(top(large)?.backPressureRatio).toBeLessThan(top(small)?.backPressureRatio ?? 0);
    expect(top(large)?.brakePowerW).toBeGreaterThan(top(small)?.brakePowerW ?? Number.POSITIVE_INFINITY);
    expect(top(large)?.manifoldPressurePa).toBeCloseTo(top(small)?.manifoldPressurePa ?? 0, 0);
  });

  test('no point lies beyond a turbine sheet, and both gates have something left', () => {
    for (const index of [0, 1]) {
      expect(solved(index).filter(({ turbine }) => turbine?.extended === true)).toEqual([]);
      expect(solved(index).at(-1)?.wastegateShare).toBeGreaterThan(0.08);
    }
  });

  test('what the calipers give of its turbines agrees with its sheets within the band of the estimate', () => {
    const measured: b.Build = {
      ...build,
      candidates: build.candidates.map((c) => ({
        ...c,
        turbine: { ...c.turbine, source: 'measured', efficiency: { ...c.turbine.efficiency, kind: 'number' } },
      })),
    };
    for (const index of [0, 1]) {
      const [sheet, estimate] = [build, measured].map((of) => b.candidateTurbine(of, index)?.capacity);
      for (const ratio of [1.3, 1.7, 2.2, 2.7]) {
        const share = (estimate?.flowParameter(ratio, 240) ?? 0) / (sheet?.flowParameter(ratio, 240) ?? 1);
        expect(Math.abs(share - 1)).toBeLessThan(estimate?.band ?? 0);
      }
    }
  });
});
