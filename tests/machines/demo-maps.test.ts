import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { auditSheet } from '../../src/compressor/audit.ts';
import type { Island } from '../../src/compressor/types.ts';
import {
  exactEfficiency,
  FACTORY_READING,
  factoryMap,
  LARGER_READING,
  largerMap,
  SINGLE_READING,
  SMALL_READING,
  singleMap,
  smallMap,
} from './demo-maps.ts';

const stored = (name: string) => JSON.parse(readFileSync(`src/build/demo/${name}.json`, 'utf8'));

/** Every number of a value with its path; text and truth values as they are. */
function leaves(value: unknown, path = ''): [string, unknown][] {
  if (typeof value !== 'object' || value === null) return [[path, value]];
  return Object.entries(value).flatMap(([key, inner]) => leaves(inner, `${path}/${key}`));
}

describe.each([
  ['factory-size', FACTORY_READING, factoryMap(), 0.001],
  ['larger-drop-in', LARGER_READING, largerMap(), 0.1],
  ['small', SMALL_READING, smallMap(), 0.001],
  ['large-single', SINGLE_READING, singleMap(), 0.001],
] as const)('the demo map %s', (name, reading, computed, flowStep) => {
  const { islands, ...entered } = stored(name);

  it('is equal to the machine it is read from', () => {
    expect(leaves(entered)).toEqual(
      leaves({ ...computed, islands: undefined }).filter(([path]) => path !== '/islands'),
    );
  });

  it('has its islands where the machine itself has that efficiency, within the last digit of flow and pressure ratio', () => {
    expect([...new Set(islands.map((island: Island) => island.efficiency))]).toEqual(reading.levels);
    for (const { efficiency, points } of islands as Island[]) {
      for (const { flow, pressureRatio } of points) {
        const around = [-1, 0, 1].flatMap((a) =>
          [-1, 0, 1].map((b) => exactEfficiency(reading, flow + a * flowStep, pressureRatio + 0.01 * b)),
        );
        // Drawn with straight lines through a mesh, which may be off by 0.05 point of efficiency.
        expect(efficiency, `${efficiency} at ${flow}`).toBeGreaterThan(Math.min(...around) - 0.0005);
        expect(efficiency, `${efficiency} at ${flow}`).toBeLessThan(Math.max(...around) + 0.0005);
      }
    }
  });
});

it('finds nothing to complain about in the demo maps', () => {
  for (const map of [factoryMap(), largerMap(), smallMap(), singleMap()]) {
    expect(auditSheet(map).filter((finding) => finding.severity !== 'note')).toEqual([]);
  }
});
