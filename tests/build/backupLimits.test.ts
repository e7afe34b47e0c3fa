import { describe, expect, test } from 'vitest';
import { parseBackupFile, workspaceOf, workspaceToBackup } from '../../src/build/index.ts';
import { openFileText } from '../../src/storage/files.ts';
import { buildWithMap } from './anyChange.ts';

const whole = workspaceToBackup(workspaceOf([buildWithMap('first')]), '2026-01-01T00:00:00Z');

describe('a backup full of entries that cannot be read', () => {
  test('says the first twenty and how many more', () => {
    const read = parseBackupFile({ ...whole, builds: [...whole.builds, ...Array(300).fill({})] });
    if (!read.ok) throw new Error('one build can be read');
    expect(read.value.builds).toHaveLength(1);
    expect(read.notes).toHaveLength(21);
    expect(read.notes.at(-1)?.message).toBe('And 280 more problems of this kind.');
  });

  test('is given up after 500 of them, however many there are', () => {
    let looks = 0;
    const entry = () => ({
      get format() {
        looks += 1;
        return undefined;
      },
    });
    const read = parseBackupFile({ ...whole, builds: Array.from({ length: 20_000 }, entry) });
    expect(read).toMatchObject({
      ok: false,
      problems: [{ message: expect.stringContaining('More than 500 entries') }],
    });
    // The guard against hostile JSON passes each once; only the first 501 are looked into.
    const beyondGuard = looks - 20_000;
    expect(beyondGuard).toBeGreaterThan(500);
    expect(beyondGuard).toBeLessThan(3000);
  });
});

describe('one limit for what is opened and pasted', () => {
  test('a build with a curve of 5,001 rows is refused with its place', () => {
    const [build] = whole.builds;
    const points = Array.from({ length: 5001 }, () => ({ engineSpeed: '1000', value: '1' }));
    const curve = { ...build?.engine.lambda, rows: points };
    const opened = openFileText(JSON.stringify({ ...build, engine: { ...build?.engine, lambda: curve } }), 'x');
    expect(opened).toMatchObject({
      ok: false,
      problems: [{ path: expect.stringContaining('engine.lambda'), message: expect.stringContaining('5001 rows') }],
    });
  });
});
