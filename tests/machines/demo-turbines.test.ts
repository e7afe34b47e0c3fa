import { readFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import { parseMapFile } from '../../src/build/index.ts';
import { fitCapacity } from '../../src/turbine/index.ts';
import { demoTurbineFiles, factoryTurbine, largerTurbine, singleTurbine, smallTurbine } from './demo-turbines.ts';

it.each(Object.entries(demoTurbineFiles()))(
  'keeps the demo sheet %s equal to the machine it is read from',
  (name, file) => {
    const stored = JSON.parse(readFileSync(`src/build/demo/${name}.json`, 'utf8'));
    expect(stored).toEqual(JSON.parse(JSON.stringify(file)));
    expect(parseMapFile(stored)).toMatchObject({ ok: true, value: { kind: 'turbine', invented: true } });
  },
);

it('has five lines of six to eight points each, with efficiencies, and nothing to remark in the fit', () => {
  for (const sheet of [factoryTurbine(), largerTurbine(), smallTurbine(), singleTurbine()]) {
    expect(sheet.lines).toHaveLength(5);
    for (const { points } of sheet.lines) {
      expect(points.length).toBeGreaterThanOrEqual(6);
      expect(points.length).toBeLessThanOrEqual(8);
      expect(points.every((p) => p.efficiency !== undefined)).toBe(true);
    }
    expect(fitCapacity(sheet)).toMatchObject({ ok: true, notes: [] });
  }
});

it('makes the larger one pass more: 15 to 25 % where both are near choking', () => {
  const [small, large] = [factoryTurbine(), largerTurbine()].map((sheet) => {
    const fit = fitCapacity(sheet);
    if (!fit.ok) throw new Error(fit.problems[0]?.message);
    return fit.capacity.flowParameter(2.2, 220);
  });
  expect(large! / small!).toBeGreaterThan(1.15);
  expect(large! / small!).toBeLessThan(1.25);
});
