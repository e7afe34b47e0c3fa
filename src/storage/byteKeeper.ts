import { allMaps, logsOf, type Workspace } from '../build/index.ts';
import type { LuglineDatabase } from './database.ts';

/**
 * A picture that no stored map needs is thrown away only after a week: until then another window, or this one before it is closed,
 * may bring the map back by undo.
 */
const KEEP_UNUSED_MS = 7 * 24 * 3600 * 1000;

/** What is kept apart from the document: what of a workspace needs it, and what is said when there is no room. */
const KINDS = {
  /** Of sheets, by the ids of their tracings. */
  pictures: {
    needed: (workspace: Workspace) => allMaps(workspace).flatMap((map) => map.tracing?.picture?.id ?? []),
    noRoom:
      'The browser has no room for the picture: it stays until the page is closed. Save the map as a file, with its picture, to keep it.',
  },
  /** Road logs as they were dropped, by their hashes. */
  logs: {
    needed: ({ builds }: Workspace) => Object.values(builds).flatMap((build) => logsOf(build).map(({ hash }) => hash)),
    noRoom:
      'The browser has no room for the road log: its file stays until the page is closed, and the build keeps the rows of its pulls. Keep the file.',
  },
};

/** Bytes in a place of their own in the browser's database, of which the document holds ids. In memory where there is no database. */
export class ByteKeeper {
  readonly #store: keyof typeof KINDS;
  readonly #database: () => LuglineDatabase | null;
  readonly #memory = new Map<string, Blob>();

  /** `database` is asked every time: it may be lost while the page is open. */
  constructor(store: keyof typeof KINDS, database: () => LuglineDatabase | null) {
    this.#store = store;
    this.#database = database;
  }

  /** Resolves when the bytes stand in the database. What is there already is never replaced: ids come from files, too. */
  async put({ id, bytes }: { id: string; bytes: Blob }): Promise<void> {
    const database = this.#database();
    if (database === null) {
      if (!this.#memory.has(id)) this.#memory.set(id, bytes);
      return;
    }
    try {
      const transaction = database.transaction(this.#store, 'readwrite');
      const known = await transaction.store.get(id);
      await transaction.store.put({ bytes: known?.bytes ?? bytes }, id);
      await transaction.done;
    } catch {
      // It can be worked with all the same; only a reload would lose it.
      this.#memory.set(id, bytes);
      throw new Error(KINDS[this.#store].noRoom);
    }
  }

  async get(id: string): Promise<{ id: string; bytes: Blob } | null> {
    const inMemory = this.#memory.get(id);
    if (inMemory !== undefined) return { id, bytes: inMemory };
    const record = await this.#database()
      ?.get(this.#store, id)
      .catch(() => undefined);
    return record === undefined ? null : { id, bytes: record.bytes };
  }

  /** Throws away what nothing has needed for a week. Call it when the page opens, before there are steps of undo. */
  async sweep(workspace: Workspace, now: number): Promise<void> {
    const database = this.#database();
    if (database === null) return;
    const needed = new Set(KINDS[this.#store].needed(workspace));
    try {
      const transaction = database.transaction(this.#store, 'readwrite');
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
