import { buildToFile, draftToMapFile, workspaceOf, workspaceToBackup } from '../../src/build/index.ts';
import { buildWithMap } from '../build/anyChange.ts';
import { tinyDraft } from '../build/tinyMap.ts';

/** mulberry32: the same thousand files in every run. */
function generator(seed: number) {
  let state = seed;
  const next = (): number => {
    state = (state + 0x6d2b79f5) | 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
  return { next, below: (n: number) => Math.floor(next() * n) };
}

type Random = ReturnType<typeof generator>;

const map = draftToMapFile(tinyDraft('m'));
if (!map.ok) throw new Error('the tiny map is readable');
/** Files as the program writes them: a map, a build, a backup. */
export const honest = [
  map.value,
  buildToFile(buildWithMap('b')),
  workspaceToBackup(workspaceOf([buildWithMap('a')]), '2026-01-01T00:00:00.000Z'),
].map((file) => JSON.stringify(file));

const NASTY: readonly unknown[] = [
  null,
  true,
  -1,
  0,
  1e308,
  -1e-308,
  '',
  'NaN',
  '__proto__',
  [],
  {},
  [[]],
  'x'.repeat(5000),
  { __html: '<script>alert(1)</script>' },
  '<img src=x onerror=alert(1)>',
  { toString: 'x' },
  Array.from({ length: 300 }, (_, i) => i),
  '\u0000\ud800',
  2 ** 53,
];

/** Every place of a JSON value, as [holder, key]. */
function placesOf(
  value: unknown,
  found: [Record<string, unknown>, string][] = [],
): [Record<string, unknown>, string][] {
  if (typeof value !== 'object' || value === null) return found;
  for (const key of Object.keys(value)) {
    found.push([value as Record<string, unknown>, key]);
    placesOf((value as Record<string, unknown>)[key], found);
  }
  return found;
}

const spoilers: ((text: string, random: Random) => string)[] = [
  // Cut short.
  (text, random) => text.slice(0, random.below(text.length - 1)),
  // A few characters changed.
  (text, random) => {
    const at = random.below(text.length);
    return text.slice(0, at) + String.fromCharCode(random.below(0x2ff)) + text.slice(at + 1 + random.below(5));
  },
  // A value somewhere replaced by something that does not belong there.
  (text, random) => {
    const json: unknown = JSON.parse(text);
    for (let n = 1 + random.below(4); n > 0; n -= 1) {
      const places = placesOf(json);
      const [holder, key] = places[random.below(places.length)] ?? [];
      if (holder !== undefined && key !== undefined) holder[key] = structuredClone(NASTY[random.below(NASTY.length)]);
    }
    return JSON.stringify(json);
  },
  // A property taken away, or one that reaches into JavaScript's objects put in.
  (text, random) => {
    const json: unknown = JSON.parse(text);
    const places = placesOf(json);
    const [holder, key] = places[random.below(places.length)] ?? [];
    if (holder === undefined || key === undefined) return text;
    if (random.next() < 0.5 && !Array.isArray(holder)) delete holder[key];
    const evil = ['"__proto__":{"polluted":true}', '"constructor":{"prototype":{"polluted":true}}'][random.below(2)];
    return `{${evil},${JSON.stringify(json).slice(1)}`;
  },
  // Numbers that JSON does not have.
  (text, random) =>
    text.replace(/:(\d+\.?\d*)/g, (all) =>
      random.next() < 0.05 ? `:${['NaN', 'Infinity', '1e999'][random.below(3)]}` : all,
    ),
  // Nested without end, huge, foreign or no JSON at all.
  (_text, random) =>
    [
      '['.repeat(200_000),
      `{"format":"lugline-map","a":${'{"a":'.repeat(100)}1${'}'.repeat(100)}}`,
      `{"format":"lugline-map","version":1,"speedLines":[${'1,'.repeat(450_000)}1]}`,
      '{"type":"FeatureCollection","features":[]}',
      'speed,flow\n1,2\n',
      '\u0000\u0001PK',
      '',
      '"lugline-map"',
      'null',
      '{"format":["lugline-map"],"version":1}',
      '{"format":"lugline-build","version":1e9}',
      '{"format":"lugline-backup","version":1,"builds":[],"shelf":[]}',
      '{"format":"toString","version":1}',
    ][random.below(13)] ?? '',
];

/** A thousand texts of files: damaged, foreign, huge and hostile, the same in every run. */
export function hostileTexts(): string[] {
  const random = generator(20260125);
  return Array.from({ length: 1000 }, (_, i) => {
    const spoil = spoilers[i % spoilers.length] as (typeof spoilers)[number];
    return spoil(honest[random.below(3)] ?? '', random);
  });
}
