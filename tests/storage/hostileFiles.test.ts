import { describe, expect, test } from 'vitest';
import { createFileActions } from '../../src/app/fileActions.ts';
import { fitDraft, tryMatchInput, type Workspace, workspaceOf } from '../../src/build/index.ts';
import { LARGEST_FILE_BYTES, openFileText } from '../../src/storage/files.ts';
import { BackupKeeper, openFile } from '../../src/storage/index.ts';
import { createLuglineStore } from '../../src/store/index.ts';
import { buildWithMap } from '../build/anyChange.ts';
import { honest, hostileTexts } from './hostile-texts.ts';

const start = workspaceOf([buildWithMap('a')]);

function asFile(text: string, name = 'hostile.json'): File {
  return { name, size: text.length, text: async () => text } as unknown as File;
}

describe('a thousand damaged, foreign, huge and hostile files', () => {
  test('each is opened or refused with a sentence, and what cannot be read changes nothing', async () => {
    let refusedFiles = 0;
    const store = createLuglineStore(start);
    const backup = new BackupKeeper(() => null, { onStatus: () => undefined, download: () => undefined });
    const files = createFileActions(store, backup, []);
    for (const text of hostileTexts()) {
      const before: Workspace = store.getState().workspace;
      const opened = openFileText(text, 'fresh');
      if (opened.ok) {
        // What is let in must not bring the program down either.
        if (opened.value.kind === 'map') fitDraft(opened.value.map);
        if (opened.value.kind === 'build') tryMatchInput(opened.value.build, 0);
        continue;
      }
      refusedFiles += 1;
      expect(opened.problems.length).toBeGreaterThan(0);
      for (const { message } of opened.problems) {
        expect(message).toMatch(/^[A-Z].{10,}[.)]$/s);
        expect(message).not.toMatch(/undefined|\[object|Invalid input|ZodError/);
      }
      if (refusedFiles > 60) continue;
      files.take([asFile(text)]);
      await new Promise((resolve) => setTimeout(resolve, 0));
      expect(store.getState().workspace).toBe(before);
      expect(store.getState().ui.notices.at(-1)).toMatchObject({ tone: 'trouble' });
    }
    expect(refusedFiles).toBeGreaterThan(700);
    expect(({} as { polluted?: boolean }).polluted).toBeUndefined();
  });

  test('a file beyond the size limit is not even read', async () => {
    let read = false;
    const text = async () => {
      read = true;
      return '';
    };
    const opened = await openFile({ name: 'big.json', size: LARGEST_FILE_BYTES + 1, text }, 'fresh');
    expect(opened.ok).toBe(false);
    expect(read).toBe(false);
  });

  test('a file that the browser cannot read is refused with a sentence', async () => {
    const text = () => Promise.reject(new DOMException('gone', 'NotFoundError'));
    const opened = await openFile({ name: 'gone.json', size: 1, text }, 'fresh');
    expect(!opened.ok && opened.problems[0]?.message).toContain('open it again');
  });

  test('a map with more points than any sheet is refused before it reaches the tables', () => {
    const points = Array.from({ length: 6000 }, () => ({ flow: 1, pressureRatio: 2 }));
    const opened = openFileText(
      JSON.stringify({ ...JSON.parse(honest[0] ?? ''), speedLines: [{ speedRpm: 1, points }], entered: undefined }),
      'f',
    );
    expect(!opened.ok && opened.problems[0]?.message).toContain('Thin it out');
  });

  test('the honest files themselves are opened', () => {
    expect(honest.map((text) => openFileText(text, 'fresh')).map((opened) => opened.ok && opened.value.kind)).toEqual([
      'map',
      'build',
      'backup',
    ]);
    expect(openFileText(`\ufeff${honest[0]}`, 'fresh').ok).toBe(true);
  });
});
