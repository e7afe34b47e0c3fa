import { readFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import { auditSheet } from '../../src/compressor/audit.ts';
import { factoryMap, largerMap } from './demo-maps.ts';

const stored = (name: string) => JSON.parse(readFileSync(`src/build/demo/${name}.json`, 'utf8'));

it('keeps the demo maps equal to the machines they are read from', () => {
  expect(stored('factory-size')).toEqual(factoryMap());
  expect(stored('larger-drop-in')).toEqual(largerMap());
});

it('finds nothing to complain about in the demo maps', () => {
  for (const map of [factoryMap(), largerMap()]) {
    expect(auditSheet(map).filter((finding) => finding.severity !== 'note')).toEqual([]);
  }
});
