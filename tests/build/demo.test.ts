import { describe, expect, test } from 'vitest';
import { demoBuild, demoV6 } from '../../src/build/demo.ts';
import * as b from '../../src/build/index.ts';
import { type ComparisonKey, compareCandidates, findings, solveOperatingLine } from '../../src/match/index.ts';
import type { OperatingPointSolved } from '../../src/match/types.ts';

const build = demoBuild();
const MAP_FILES = import.meta.glob('../../src/build/demo/*.json', { eager: true, import: 'default' });
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

describe('neither demonstration passes the gate as it is opened', () => {
  test.each([demoBuild(), demoV6()])('$name is what the gate makes of it, to the last property', (demo) => {
    const read = b.parseBuildFile(JSON.parse(JSON.stringify(b.buildToFile(demo))));
    expect(read.ok && b.fileToBuild(read.value)).toStrictEqual(demo);
  });

  test.each(Object.entries(MAP_FILES))('%s makes the tables that its file makes at the gate', (_path, file) => {
    const read = b.mapFileToDraft(file, 'here');
    expect(read).toMatchObject({ ok: true, notes: [] });
    const own = [demoBuild(), demoV6()].flatMap(({ candidates }) => candidates.flatMap(b.mapsOf));
    const { name } = file as { name: string };
    const sheet = own.find((map) => map.name === name);
    expect(read.ok && { ...read.value, id: sheet?.id }).toStrictEqual(sheet);
  });
});

describe('the second demonstration: a V6 with two small turbos or one large', () => {
  const parsed = b.parseBuildFile(JSON.parse(JSON.stringify(b.buildToFile(demoV6()))));
  if (!parsed.ok) throw new Error('the example cannot be read');
  const six = b.fileToBuild(parsed.value);
  const [twin, single] = [0, 1].map((index) => {
    const input = b.toMatchInput(six, index);
    const points = solveOperatingLine(input);
    return { input, points, findings: findings(points, input), ceilings: null, held: null };
  });

  test('is marked as invented, comes back from its file as it was, and everything in it can be read', () => {
    expect(six).toEqual(demoV6());
    expect(six.invented).toBe(true);
    expect(six.candidates.map(({ turboCount }) => turboCount)).toEqual([2, 1]);
    for (const [i, { map, turbineSheet }] of six.candidates.entries()) {
      expect([map?.invented, turbineSheet?.invented]).toEqual([true, true]);
      expect(b.tryMatchInput(six, i)).toMatchObject({ ok: true, notes: [] });
    }
  });

  test('the two come in a thousand rpm earlier; the large one leaves less back-pressure and gives more power at the top', () => {
    const compared = compareCandidates(twin!, single!);
    expect(compared.differentInputs).toBe(false);
    const row = (key: ComparisonKey) => compared.rows.find((one) => one.key === key)!;
    expect(row('boost-threshold').difference).toBeGreaterThan(1000);
    expect(row('back-pressure-ratio').difference).toBeLessThan(-0.15);
    expect(row('power-at-goal').difference).toBeGreaterThan(3000);
    // Of all turbos together: that of one would be half.
    expect(Math.abs(row('compressor-power').difference ?? Number.NaN)).toBeLessThan(2000);
  });

  test('no point crosses a limit or lies beyond a turbine sheet', () => {
    for (const { findings: found, points } of [twin!, single!]) {
      expect(found.filter(({ severity }) => severity === 'stop')).toEqual([]);
      expect(points.every((p) => p.status === 'ok' && p.turbine?.extended === false)).toBe(true);
    }
  });
});
