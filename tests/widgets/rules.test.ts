import { readdirSync, readFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { ROOT } from '../source-files.ts';

const modules = readdirSync(join(ROOT, 'src'), { recursive: true, encoding: 'utf8' }).filter((path) =>
  path.endsWith('.module.css'),
);
const textOf = (path: string) => readFileSync(join(ROOT, 'src', path), 'utf8').replace(/\/\*[\s\S]*?\*\//g, '');
const rules = textOf('widgets/rules.css');
/** Rules that components name themselves, by file: every word of a class that is written as a text. */
const written = readdirSync(join(ROOT, 'src'), { recursive: true, encoding: 'utf8' })
  .filter((path) => path.endsWith('.tsx'))
  .flatMap((path) =>
    [...readFileSync(join(ROOT, 'src', path), 'utf8').matchAll(/[cC]lassName="([^"]*)"|\bcx\('([^']*)'/g)].flatMap(
      (m) => (m[1] ?? m[2] ?? '').split(' ').map((name) => ({ path, name })),
    ),
  );
const shared = new Set([...rules.matchAll(/\.([a-z][\w-]*)/g)].map((m) => m[1] ?? ''));

describe('the rules that the views share', () => {
  it('are there under the names that the modules compose', () => {
    const missing = modules.flatMap((path) =>
      [...textOf(path).matchAll(/composes:([^;]+) from global;/g)]
        .flatMap((m) => (m[1] ?? '').trim().split(/\s+/))
        .filter((name) => !shared.has(name))
        .map((name) => `${path}: ${name}`),
    );
    expect(modules.length).toBeGreaterThan(10);
    expect(missing).toEqual([]);
  });

  it('are there under the names that components write', () => {
    expect(written.length).toBeGreaterThan(50);
    expect(written.filter(({ name }) => !shared.has(name))).toEqual([]);
  });

  it('are each of use to someone', () => {
    const composed = modules.flatMap((path) =>
      [...textOf(path).matchAll(/composes:([^;]+) from global;/g)].flatMap((m) => (m[1] ?? '').trim().split(/\s+/)),
    );
    const used = new Set([...composed, ...written.map(({ name }) => name)]);
    expect([...shared].filter((name) => !used.has(name))).toEqual([]);
  });
});

describe('the modules of styles', () => {
  it('have a name each: the names of their classes on the page are made of it', () => {
    const names = modules.map((path) => basename(path));
    expect(names.toSorted()).toEqual([...new Set(names)].toSorted());
  });
});
