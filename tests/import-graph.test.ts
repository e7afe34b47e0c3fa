import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { ROOT, readImports, readSources, type SourceFile } from './source-files.ts';

/** The folders of src in the direction of imports: each may use what stands in the rows before its own, at run time and for types alike. */
const ROWS: readonly (readonly string[])[] = [
  ['units', 'numerics'],
  ['air'],
  ['compressor', 'engine', 'turbine'],
  ['reading'],
  ['match'],
  ['build'],
  ['storage', 'store'],
  ['plot', 'widgets'],
  ['views'],
  ['app'],
];
/** Folders that may use less than the rows before them. */
const NARROWER: Readonly<Record<string, readonly string[]>> = {
  widgets: ['units'],
  plot: ['units', 'numerics', 'compressor', 'match'],
  views: [
    'units',
    'numerics',
    'air',
    'compressor',
    'engine',
    'turbine',
    'reading',
    'match',
    'build',
    'store',
    'plot',
    'widgets',
  ],
};
/** Of these the drawing may know the shape of the results, not how they come about. */
const TYPES_ONLY: Readonly<Record<string, readonly string[]>> = { plot: ['compressor', 'match'] };
const MAY_IMPORT: Readonly<Record<string, readonly string[]>> = Object.fromEntries(
  ROWS.flatMap((row, at) => row.map((folder) => [folder, NARROWER[folder] ?? ROWS.slice(0, at).flat()])),
);
const PURE = ['units', 'numerics', 'air', 'compressor', 'engine', 'turbine', 'reading', 'match', 'build'];
const PACKAGE_HOMES: Readonly<Record<string, readonly string[]>> = {
  idb: ['storage'],
  zustand: ['store'],
  zod: ['build', 'storage'],
};

const sources = readSources('src');
const packageOf = (specifier: string) => specifier.split('/')[0] ?? '';
const folderOf = (path: string) => path.split('/')[1] ?? '';

function violations(check: (file: SourceFile) => readonly string[], files = sources): string[] {
  return files.flatMap((file) => check(file).map((what) => `${file.path}: ${what}`));
}

/** The first circle found in a directed graph, as the names on it. */
function findCycle(graph: ReadonlyMap<string, ReadonlySet<string>>): string[] | null {
  const done = new Set<string>();
  const trail: string[] = [];
  const visit = (node: string): string[] | null => {
    const at = trail.indexOf(node);
    if (at >= 0) return [...trail.slice(at), node];
    if (done.has(node)) return null;
    trail.push(node);
    for (const next of graph.get(node) ?? []) {
      const cycle = visit(next);
      if (cycle !== null) return cycle;
    }
    trail.pop();
    done.add(node);
    return null;
  };
  for (const node of graph.keys()) {
    const cycle = visit(node);
    if (cycle !== null) return cycle;
  }
  return null;
}

function graphOf(key: (path: string) => string, keepTypes: boolean): Map<string, Set<string>> {
  const graph = new Map<string, Set<string>>();
  for (const file of sources) {
    const edges = graph.get(key(file.path)) ?? new Set<string>();
    graph.set(key(file.path), edges);
    for (const { target, typeOnly } of file.imports) {
      if (target === null || !target.startsWith('src/') || (typeOnly && !keepTypes)) continue;
      if (key(target) !== key(file.path)) edges.add(key(target));
    }
  }
  return graph;
}

describe('the reader of imports', () => {
  const read = (text: string) =>
    readImports('src/air/x.ts', text).map((i) => `${i.target ?? i.specifier}${i.typeOnly ? ' (type)' : ''}`);

  it('sees every form of import and nothing in a comment', () => {
    expect(read("import { a } from '../numerics/index.ts';")).toEqual(['src/numerics/index.ts']);
    expect(read("import type { A } from './a.ts';")).toEqual(['src/air/a.ts (type)']);
    expect(read("import { type A, type B } from './a.ts';")).toEqual(['src/air/a.ts (type)']);
    expect(read("import { type A, b } from './a.ts';")).toEqual(['src/air/a.ts']);
    expect(read("import './a.css';\nexport * from 'd3-shape';")).toEqual(['src/air/a.css', 'd3-shape']);
    expect(read("import {\n  a,\n  b,\n} from '../units/index.ts';")).toEqual(['src/units/index.ts']);
    expect(read("const x = await import('../app/x.ts');")).toEqual(['src/app/x.ts']);
    expect(read("new Worker(new URL('../app/worker.ts', import.meta.url))")).toEqual(['src/app/worker.ts']);
    expect(read("// import { a } from './a.ts';\n/* import './b.ts'; */")).toEqual([]);
  });

  it('finds a circle where there is one', () => {
    const graph = new Map([
      ['a', new Set(['b'])],
      ['b', new Set(['c'])],
      ['c', new Set(['a'])],
    ]);
    expect(findCycle(graph)).toEqual(['a', 'b', 'c', 'a']);
    graph.set('c', new Set());
    expect(findCycle(graph)).toBeNull();
  });
});

describe('the import table', () => {
  it('covers every folder of src, and each of its folders stands', () => {
    const standing = readdirSync(join(ROOT, 'src'), { withFileTypes: true }).filter((e) => e.isDirectory());
    expect(standing.map((e) => e.name).filter((name) => MAY_IMPORT[name] === undefined)).toEqual([]);
    const empty = Object.keys(MAY_IMPORT).filter((name) => !sources.some((file) => folderOf(file.path) === name));
    expect(empty).toEqual([]);
    expect(readdirSync(join(ROOT, 'src')).filter((name) => /\.\w+$/.test(name))).toEqual([]);
  });

  it('names every folder that DEVELOPERS.md describes, and no other', () => {
    const rows = readFileSync(join(ROOT, 'DEVELOPERS.md'), 'utf8').matchAll(/^\| `src\/(\w+)` *\|/gm);
    expect([...rows].map((row) => row[1]).sort()).toEqual(Object.keys(MAY_IMPORT).sort());
  });

  it('has no folder that passes the names of another on', () => {
    const passedOn = violations((file) =>
      [...file.text.matchAll(/^export\s+(?:type\s+)?(?:\*|\{[^}]*\})\s+from\s+'(\.[^']+)'/gm)]
        .map((match) => match[1] ?? '')
        .filter((specifier) => {
          const target = join(file.path, '..', specifier).split('\\').join('/');
          return folderOf(target) !== folderOf(file.path);
        }),
    );
    expect(passedOn).toEqual([]);
  });

  it('holds for every import, types included', () => {
    const wrong = violations((file) => {
      const from = folderOf(file.path);
      return file.imports
        .filter(({ target }) => target?.startsWith('src/') && folderOf(target) !== from)
        .filter(({ target, typeOnly }) => {
          const to = folderOf(target ?? '');
          return !MAY_IMPORT[from]?.includes(to) || (TYPES_ONLY[from]?.includes(to) && !typeOnly);
        })
        .map(({ specifier }) => `may not import ${specifier}`);
    });
    expect(wrong).toEqual([]);
  });

  it('is kept by going through the index of another folder', () => {
    const wrong = violations((file) =>
      file.imports
        .filter(({ target }) => target?.startsWith('src/') && folderOf(target) !== folderOf(file.path))
        .filter(({ target, typeOnly }) => !typeOnly && /\.tsx?$/.test(target ?? '') && !isDoor(target ?? ''))
        .map(({ specifier }) => `reaches past the index: ${specifier}`),
    );
    expect(wrong).toEqual([]);
  });

  it('keeps one view out of another', () => {
    const viewOf = (path: string) => /^src\/views\/([^/]+)\//.exec(path)?.[1];
    const wrong = violations((file) =>
      file.imports
        .filter(({ target }) => {
          const to = target === null ? undefined : viewOf(target);
          const from = viewOf(file.path);
          return from !== undefined && to !== undefined && to !== from && to !== 'shared';
        })
        .map(({ specifier }) => `a view imports another: ${specifier}`),
    );
    expect(wrong).toEqual([]);
  });

  it('names files that exist', () => {
    const wrong = violations((file) =>
      file.imports
        .filter(({ target }) => target !== null && !existsSync(join(ROOT, target)))
        .map(({ specifier }) => `no such file: ${specifier}`),
    );
    expect(wrong).toEqual([]);
  });

  it('has no circle between folders, and none between files at run time', () => {
    expect(findCycle(graphOf(folderOf, true))).toBeNull();
    expect(findCycle(graphOf((path) => path, false))).toBeNull();
  });

  /** A folder's door: its own index, or that of one view. */
  function isDoor(target: string): boolean {
    return /^src\/[^/]+\/(?:[^/]+\/)?index\.tsx?$/.test(target);
  }
});

describe('what a folder may use', () => {
  const pure = sources.filter((file) => PURE.includes(folderOf(file.path)));

  it('gives the computing folders no package but the schema library', () => {
    const wrong = violations(
      (file) =>
        file.imports.filter((i) => i.target === null && packageOf(i.specifier) !== 'zod').map((i) => i.specifier),
      pure,
    );
    expect(wrong).toEqual([]);
  });

  it('keeps a package with one purpose in its one folder', () => {
    const wrong = violations((file) =>
      file.imports
        .filter(({ target, specifier }) => {
          const homes = target === null ? PACKAGE_HOMES[packageOf(specifier)] : undefined;
          return homes !== undefined && !homes.includes(folderOf(file.path));
        })
        .map(({ specifier }) => specifier),
    );
    expect(wrong).toEqual([]);
  });

  it('keeps page, clock, chance and storage out of the computing folders', () => {
    const forbidden = [
      /\b(?:window|globalThis|navigator|localStorage|sessionStorage|indexedDB|caches)\s*[.[]/,
      /\bdocument\s*\.\s*(?:create|query|getElement|addEvent|body|head|title|fonts|documentElement|cookie)/,
      /\bDate\s*\.\s*now\b|\bnew\s+Date\b|\bperformance\s*\./,
      /\bMath\s*\.\s*random\b|\bcrypto\s*\./,
      /\b(?:fetch|XMLHttpRequest|WebSocket|setTimeout|setInterval|requestAnimationFrame|queueMicrotask)\s*\(/,
      /\bconsole\s*\./,
    ];
    const wrong = violations(
      (file) => forbidden.map((pattern) => pattern.exec(file.code)?.[0]).filter((hit) => hit !== undefined),
      pure,
    );
    expect(wrong).toEqual([]);
  });
});

describe('the state of the files', () => {
  const all = [...sources, ...readSources('tests')];

  it('keeps every file under 400 lines', () => {
    expect(
      all
        .filter((f) => f.text.split('\n').length > 401)
        .map((f) => `${f.path}: ${f.text.split('\n').length - 1} lines`),
    ).toEqual([]);
  });

  it('keeps the program in fewer than 400 files: a file is a unit of change, not a concept', () => {
    expect(sources.length).toBeLessThan(400);
  });

  it('leaves nothing for later and switches no check off', () => {
    // Put together here, so that this file does not find itself.
    const words = ['TO' + 'DO', 'FIX' + 'ME', 'XX' + 'X'].map((word) => new RegExp(`\\b${word}\\b`));
    const switches = ['ts-' + 'ignore', 'ts-' + 'nocheck', 'ts-' + 'expect-error'].map(
      (word) => new RegExp(`@${word}`),
    );
    const tests = /\b(?:it|test|describe|bench)\s*\.\s*(?:skip|only|todo|fails)\b/;
    const wrong = violations((file) => {
      const inText = [...words, ...switches].map((p) => p.exec(file.text)?.[0]);
      const inCode = [tests, /\bas\s+any\b/].map((p) => p.exec(file.code)?.[0]);
      return [...inText, ...inCode].filter((hit) => hit !== undefined);
    }, all);
    expect(wrong).toEqual([]);
  });

  it('has no drawer for odds and ends', () => {
    expect(all.filter((f) => /\/(?:utils?|helpers?|misc|common)\.tsx?$/.test(f.path)).map((f) => f.path)).toEqual([]);
  });
});
