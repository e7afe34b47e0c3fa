import { describe, expect, it } from 'vitest';
import { restoreWords, storageFacts } from '../../src/app/dialogs.tsx';
import { storageSign } from '../../src/app/storageSign.ts';
import type { StorageStatus } from '../../src/store/index.ts';
import { initialStorage } from '../../src/store/state.ts';

const NOW = Date.UTC(2030, 4, 20, 12);
const DAY = 24 * 3600 * 1000;
const moment = (time: number) => `day ${Math.round((time - NOW) / DAY)}`;
const words = (changed: Partial<StorageStatus>) => storageSign({ ...initialStorage, ...changed }, NOW, moment);
const fact = (changed: Partial<StorageStatus>, term: string) =>
  storageFacts({ ...initialStorage, ...changed }, NOW, moment).find(({ title }) => title === term)?.value;

describe('the words on storage', () => {
  it('say calmly where the data lives while all is well', () => {
    const { tone, short } = words({ lastSavedAt: NOW, lastFileSavedAt: NOW - DAY });
    expect(tone).toBe('calm');
    expect(short).toBe('Saved here, download day -1');
    expect(fact({}, 'Where it lives')).toContain('In this browser, on this machine');
  });

  it('say of a download only that it was handed over, and of a kept file that it was written', () => {
    const download = { lastFileSavedAt: NOW - DAY };
    expect(fact(download, 'Last saved to a file')).toBe(
      'Handed to the browser’s downloads day -1; look there that it arrived.',
    );
    const kept = { ...download, keptFileName: 'shop.json' };
    expect(words(kept).short).toBe('Saved here, file day -1');
    expect(fact(kept, 'Last saved to a file')).toMatch(/^day -1\..*“shop\.json” is written again/);
  });

  it('never call data safe that goes with the page', () => {
    const memory: Partial<StorageStatus> = { mode: 'memory', problem: 'The browser offers no storage.' };
    expect(words(memory).tone).toBe('stop');
    expect(words(memory).short).toBe('Not stored: save a file');
    expect(fact(memory, 'Where it lives')).toContain('gone when the page closes');
    expect(fact(memory, 'Trouble')).toBe('The browser offers no storage.');
    expect(fact(memory, 'Last saved here')).toBeUndefined();
  });

  it('turn to caution when a file is more than a week old, or waits for leave, or saving failed', () => {
    expect(words({ lastFileSavedAt: NOW - 8 * DAY }).tone).toBe('caution');
    expect(words({ lastFileSavedAt: NOW - 6 * DAY }).tone).toBe('calm');
    expect(words({ keptFileName: 'shop.json', keptFileNeedsPermission: true }).short).toBe('Backup file waits');
    expect(words({ problem: 'The storage is full.' }).short).toBe('Not saved: see why');
  });

  it('say plainly whether the browser may clear the data', () => {
    expect(fact({ persisted: true }, 'Will it stay')).toContain('has promised');
    expect(fact({ persisted: false }, 'Will it stay')).toContain('may clear it');
    // No page can tell that its window is private.
    expect(fact({ persisted: false }, 'Will it stay')).toContain('a private window does when it closes');
    expect(fact({ persisted: null }, 'Will it stay')).toContain('does not say');
  });

  it('say of a backup what it adds and that nothing is lost', () => {
    const pending = {
      fileName: 'shop.json',
      savedAt: null,
      counts: { builds: 1, maps: 2, buildsHere: 3, mapsHere: 0 },
      passedOver: ['builds[4]: no engine'],
    };
    const { sentences, passedOver } = restoreWords(pending, NOW);
    expect(sentences.join(' ')).toContain('adds 1 build and 2 maps');
    expect(sentences.join(' ')).toContain('3 builds and 0 maps in it are here already');
    expect(sentences.join(' ')).toContain('Nothing that is here is replaced');
    expect(passedOver).toEqual(['builds[4]: no engine']);
  });
});
