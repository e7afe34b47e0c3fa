import { describe, expect, test } from 'vitest';
import {
  type Build,
  buildToFile,
  draftToMapFile,
  mapsOf,
  tryMatchInput,
  workspaceOf,
  workspaceToBackup,
} from '../../src/build/index.ts';
import { openFileText } from '../../src/storage/files.ts';
import { buildWithMap } from '../build/anyChange.ts';
import { tinyDraft } from '../build/tinyMap.ts';
import { turbineDraft } from '../build/tinyTurbine.ts';
import { type Chance, chance, rounds, SEED, tell } from './chance.ts';

/** What stands in a file in place of what stood there. */
const VALUES: readonly [unknown, ...unknown[]] = [
  null,
  '',
  'x',
  -1,
  0,
  1e300,
  -0.5,
  true,
  [],
  {},
  [[]],
  '1e999',
  '٣',
  '\u0000',
  'constructor',
  { text: '1', unit: 'furlong' },
  [null],
];

function fileTexts(): [string, ...string[]] {
  const made = [tinyDraft('map'), turbineDraft('turbine')].map(draftToMapFile);
  const maps = made.flatMap((file) => (file.ok ? [file.value] : []));
  expect(maps).toHaveLength(2);
  const build = buildWithMap('build');
  const backup = workspaceToBackup(workspaceOf([build]), '2026-01-01T00:00:00Z');
  return [JSON.stringify(buildToFile(build)), ...[...maps, backup].map((file) => JSON.stringify(file))];
}

/** The text with one or two things wrong: bytes, a cut, a piece put elsewhere, a value or a name of the JSON. */
function altered(text: string, by: Chance): string {
  const at = by.below(text.length);
  switch (by.below(6)) {
    case 0:
      return text.slice(0, at);
    case 1:
      return text.slice(0, at) + String.fromCharCode(by.below(128)) + text.slice(at + 1);
    case 2: {
      const piece = text.slice(at, at + 1 + by.below(40));
      const to = by.below(text.length);
      return text.slice(0, to) + piece + text.slice(to);
    }
    case 3:
      return text.slice(0, at) + text.slice(at + 1 + by.below(40));
    default:
      return JSON.stringify(alteredJson(JSON.parse(text), by));
  }
}

function alteredJson(json: unknown, by: Chance): unknown {
  const places: [object, string][] = [];
  const walk = (value: unknown) => {
    if (typeof value !== 'object' || value === null) return;
    for (const [key, child] of Object.entries(value)) {
      places.push([value, key]);
      walk(child);
    }
  };
  walk(json);
  for (let i = 0; i <= by.below(3); i += 1) {
    const place = places[by.below(places.length)];
    if (place === undefined) continue;
    const [holder, key] = place;
    if (by.share() < 0.2) Reflect.deleteProperty(holder, key);
    else Reflect.set(holder, key, structuredClone(by.one(VALUES)));
  }
  return json;
}

function expectUsable(build: Build): void {
  const numbers: unknown[] = [];
  const walk = (value: unknown) => {
    if (typeof value === 'number') numbers.push(value);
    else if (typeof value === 'object' && value !== null) for (const child of Object.values(value)) walk(child);
  };
  build.candidates.forEach((candidate, index) => {
    const result = tryMatchInput(build, index);
    if (result.ok) walk(result.input);
    else expect(result.problems.length).toBeGreaterThan(0);
    expect(mapsOf(candidate).every(({ id }) => id !== '')).toBe(true);
  });
  expect(numbers.every(Number.isFinite)).toBe(true);
}

describe('altered files', () => {
  const many = rounds(3_000, 100_000);

  test(`${many} of every kind are opened, or refused with a sentence`, () => {
    const by = chance(SEED);
    const texts = fileTexts();
    let opened = 0;
    let longestMs = 0;
    for (let i = 0; i < many; i += 1) {
      const text = altered(by.one(texts), by);
      const from = performance.now();
      const file = openFileText(text, 'fresh');
      longestMs = Math.max(longestMs, performance.now() - from);
      if (file.ok) {
        opened += 1;
        if (file.value.kind === 'build') expectUsable(file.value.build);
        if (file.value.kind === 'backup') file.value.backup.builds.forEach(expectUsable);
      } else {
        expect(file.problems.length).toBeGreaterThan(0);
        expect(file.problems.length).toBeLessThanOrEqual(42);
        for (const { message } of file.problems) expect(message).toMatch(/^.{8,}[.!?)]$/su);
      }
    }
    tell(
      `${many} altered files, ${opened} opened, ${many - opened} refused; the longest took ${longestMs.toFixed(0)} ms`,
    );
  });
});
