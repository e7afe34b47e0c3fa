import { allMaps, draftToSheet, isOfKind, type MapFitter, type Workspace } from '../build/index.ts';
import { fitKey, keptFit, sealOf, tryFitSurface } from '../compressor/index.ts';
import type { FitResult, KeptFit, MapSheet } from '../compressor/types.ts';
import { memory } from '../numerics/index.ts';
import { whenIdle } from './browser.ts';
import type { LuglineDatabase } from './database.ts';

/** Fits are stored when none was made for so long: each cell that is typed makes one. */
const QUIET_MS = 3000;
const RECORD = 'fits';

/**
 * Fits the maps of this page, and keeps what each search found in the browser's database, so that the next visit need not search again. A
 * memory, not data: without a database, or where what is stored is lost or damaged, maps are fitted as ever, and nobody is told. Never in
 * a file.
 */
export class FitKeeper implements MapFitter {
  readonly #database: () => LuglineDatabase | null;
  readonly #workspace: () => Workspace | null;
  readonly #found = new Map<string, KeptFit>();
  #stored: ReadonlyMap<string, unknown> = new Map();
  #timer: ReturnType<typeof setTimeout> | undefined;
  readonly #keys = memory<object, string | null>();

  /** Both are asked every time. Fits are stored for the maps of the workspace, no others. */
  constructor(database: () => LuglineDatabase | null, workspace: () => Workspace | null) {
    this.#database = database;
    this.#workspace = workspace;
  }

  /** Reads what is stored. Never throws. */
  async load(): Promise<void> {
    this.#stored = asRecord(
      await this.#database()
        ?.get('meta', RECORD)
        .catch(() => undefined),
    );
  }

  fit = (sheet: MapSheet): FitResult => {
    const key = fitKey(sheet);
    const known = this.#found.get(key) ?? keptFit(key, this.#stored.get(key));
    const result = tryFitSurface(sheet, known);
    if (result.ok && result.kept !== undefined) {
      this.#found.set(key, result.kept);
      if (known === undefined) this.#later();
    }
    return result;
  };

  close(): void {
    clearTimeout(this.#timer);
  }

  #later(): void {
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => whenIdle(() => void this.store()), QUIET_MS);
  }

  /** Stores the fits of the workspace's maps. What another window has stored of them stays. Never throws. */
  async store(): Promise<void> {
    const database = this.#database();
    const workspace = this.#workspace();
    if (database === null || workspace === null) return;
    const wanted = this.#keysOf(workspace);
    for (const key of this.#found.keys()) if (!wanted.has(key)) this.#found.delete(key);
    try {
      const { store, done } = database.transaction('meta', 'readwrite', { durability: 'relaxed' });
      const fits = new Map([...asRecord(await store.get(RECORD))].filter(([key]) => wanted.has(key)));
      for (const [key, numbers] of this.#found) fits.set(key, { numbers, seal: sealOf(key, numbers) });
      await store.put(fits, RECORD);
      await done;
    } catch {
      // The next visit searches again.
    }
  }

  #keysOf(workspace: Workspace): Set<string> {
    const maps = allMaps(workspace).filter(isOfKind('compressor'));
    return new Set(
      maps.flatMap((map) => {
        const keyOf = () => {
          const reading = draftToSheet(map);
          return reading.ok ? fitKey(reading.sheet) : null;
        };
        return this.#keys(map, [], keyOf) ?? [];
      }),
    );
  }
}

function asRecord(stored: unknown): ReadonlyMap<string, unknown> {
  return stored instanceof Map ? stored : new Map();
}
