import { mapsOf, type Workspace } from '../build/index.ts';
import type { LuglineDatabase } from './database.ts';

/**
 * A picture that no stored map needs is thrown away only after a week: until then another window, or this one before it is closed,
 * may bring the map back by undo.
 */
const KEEP_UNUSED_MS = 7 * 24 * 3600 * 1000;

/** Pictures of sheets in a place of their own in the browser's database. In memory where there is no database. */
export class PictureKeeper {
  readonly #database: () => LuglineDatabase | null;
  readonly #memory = new Map<string, Blob>();

  /** `database` is asked every time: it may be lost while the page is open. */
  constructor(database: () => LuglineDatabase | null) {
    this.#database = database;
  }

  /** Resolves when the picture stands in the database. A picture that is there is never replaced: ids come from files, too. */
  async put({ id, bytes }: { id: string; bytes: Blob }): Promise<void> {
    const database = this.#database();
    if (database === null) {
      if (!this.#memory.has(id)) this.#memory.set(id, bytes);
      return;
    }
    try {
      const transaction = database.transaction('pictures', 'readwrite');
      const known = await transaction.store.get(id);
      await transaction.store.put({ bytes: known?.bytes ?? bytes }, id);
      await transaction.done;
    } catch {
      // It can be traced all the same, and goes into the map file; only a reload would lose it.
      this.#memory.set(id, bytes);
      throw new Error(
        'The browser has no room for the picture: it stays until the page is closed. Save the map as a file, with its picture, to keep it.',
      );
    }
  }

  async get(id: string): Promise<{ id: string; bytes: Blob } | null> {
    const inMemory = this.#memory.get(id);
    if (inMemory !== undefined) return { id, bytes: inMemory };
    const record = await this.#database()
      ?.get('pictures', id)
      .catch(() => undefined);
    return record === undefined ? null : { id, bytes: record.bytes };
  }

  /** Throws away what no map has needed for a week. Call it when the page opens, before there are steps of undo. */
  async sweep(workspace: Workspace, now: number): Promise<void> {
    const database = this.#database();
    if (database === null) return;
    const needed = picturesOf(workspace);
    try {
      const transaction = database.transaction('pictures', 'readwrite');
      for (let cursor = await transaction.store.openCursor(); cursor !== null; cursor = await cursor.continue()) {
        const { bytes, unusedSince } = cursor.value;
        if (needed.has(cursor.key)) {
          if (unusedSince !== undefined) await cursor.update({ bytes });
        } else if (unusedSince === undefined) await cursor.update({ bytes, unusedSince: now });
        else if (now - unusedSince > KEEP_UNUSED_MS) await cursor.delete();
      }
      await transaction.done;
    } catch {
      // Tidying up can wait for the next visit.
    }
  }
}

/** Ids of all pictures that maps on the shelf and in builds were traced from. */
function picturesOf({ shelf, builds }: Workspace): Set<string> {
  const inBuilds = Object.values(builds).flatMap((build) => build.candidates.flatMap(mapsOf));
  const maps = [...Object.values(shelf), ...inBuilds];
  return new Set(maps.flatMap((map) => map.tracing?.picture?.id ?? []));
}
