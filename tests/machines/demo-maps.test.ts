import { readFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import { auditSheet } from '../../src/compressor/audit.ts';
import { factoryMap, largerMap } from './demo-maps.ts';

const stored = (name: string) => JSON.parse(readFileSync(`src/build/demo/${name}.json`, 'utf8'));

/** Every number of a value with its path; text and truth values as they are. */
function leaves(value: unknown, path = ''): [string, unknown][] {
  if (typeof value !== 'object' || value === null) return [[path, value]];
  return Object.entries(value).flatMap(([key, inner]) => leaves(inner, `${path}/${key}`));
}

it.each([
  ['factory-size', factoryMap()],
  ['larger-drop-in', largerMap()],
])('keeps the demo map %s equal to the machine it is read from', (name, computed) => {
  const kept = leaves(stored(name));
  const made = leaves(computed);
  expect(kept.map(([path]) => path)).toEqual(made.map(([path]) => path));
  kept.forEach(([path, value], i) => {
    const other = made[i]![1];
    // Islands come from a fit: on another processor a value that lies between two roundings may fall to the other side.
    if (typeof value === 'number' && path.startsWith('/islands')) {
      const step = path.endsWith('flow') ? (name === 'factory-size' ? 0.001 : 0.1) : 0.01;
      expect(Math.abs(value - (other as number)), path).toBeLessThan(1.01 * step);
    } else expect(value, path).toBe(other);
  });
});

it('finds nothing to complain about in the demo maps', () => {
  for (const map of [factoryMap(), largerMap()]) {
    expect(auditSheet(map).filter((finding) => finding.severity !== 'note')).toEqual([]);
  }
});
