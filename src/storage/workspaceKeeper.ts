import { leavingNoteKey, removeLeavingNotes, takeLeavingNotes, writeLeavingNote } from './leavingNote.ts';
import {
  DATABASE_NAME,
  emptySnapshot,
  type KeptAside,
  type LoadedState,
  type LuglineDatabase,
  loadState,
  openDatabase,
  type Snapshot,
  type StoredState,
} from './load.ts';
import { baseOf, mergeStates, type SaveResult, saveState } from './save.ts';

/** Where the data lives and how safe it is. Times in ms since 1970. */
export interface KeeperStatus {
  /** 'memory': nothing is kept when the page closes; `problem` says why. */
  mode: 'stored' | 'memory';
  /** The browser's promise not to purge by itself; null: not known. */
  persisted: boolean | null;
  saving: boolean;
  lastSavedAt: number | null;
  problem: string | null;
}

/** What failed when saving, in plain words with what to do. */
export function savingProblem(error: unknown): string {
  const name = error instanceof Error ? error.name : '';
  if (name === 'QuotaExceededError') {
    return 'The browser has no room left for this page. What you see is kept in memory only: save a backup file now, then free space.';
  }
  if (name === 'InvalidStateError' || name === 'AbortError') {
    return 'The browser closed the storage. What you see is kept in memory only: save a backup file, then reload the page.';
  }
  return 'Saving in the browser failed. What you see is kept in memory only: save a backup file now.';
}

/** How the windows of one browser tell each other that one of them has saved. */
export interface TabChannel {
  saved(revision: number): void;
  close(): void;
}

/** Calls `onSaved` when another window has saved. Silent where the browser has no BroadcastChannel: saving notices by itself then. */
export function openTabChannel(name: string, onSaved: (revision: number) => void): TabChannel {
  if (typeof BroadcastChannel === 'undefined') return { saved: () => undefined, close: () => undefined };
  const channel = new BroadcastChannel(name);
  channel.onmessage = (event: MessageEvent<unknown>) => {
    const message = event.data as { kind?: unknown; revision?: unknown } | null;
    if (message?.kind === 'saved' && typeof message.revision === 'number') onSaved(message.revision);
  };
  return {
    saved: (revision) => channel.postMessage({ kind: 'saved', revision }),
    close: () => channel.close(),
  };
}

/**
 * Whether the browser has promised not to purge the page's data by itself; with 'ask' it is asked for that promise (some browsers
 * put the question to the user then). null where the browser does not say.
 */
export async function requestPersistence(how: 'ask' | 'ask-nothing'): Promise<boolean | null> {
  const storage = typeof navigator === 'undefined' ? undefined : navigator.storage;
  try {
    if (typeof storage?.persisted !== 'function') return null;
    if (await storage.persisted()) return true;
    return how === 'ask' && typeof storage.persist === 'function' ? await storage.persist() : false;
  } catch {
    return null;
  }
}

/** Saved this long after the last change, and at the latest so long after the first one: within a second either way. */
const QUIET_MS = 300;
const LATEST_MS = 850;
/** Opening a transaction takes milliseconds: it waits so long for a gap between two frames, no longer. */
const IDLE_WAIT_MS = 100;

function whenIdle(work: () => void): void {
  if ('requestIdleCallback' in globalThis) requestIdleCallback(work, { timeout: IDLE_WAIT_MS });
  else work();
}

export interface KeeperOptions {
  freshId: () => string;
  onStatus: (changed: Partial<KeeperStatus>) => void;
  /**
   * Another window has saved: show this in place of what is shown. `keptBoth` names what both had changed and is now there twice;
   * `contentChanged` is false when only order or settings differ.
   */
  onAdopt: (state: StoredState, news: { keptBoth: readonly string[]; contentChanged: boolean }) => void;
  now?: () => number;
  databaseName?: string;
  openWithinMs?: number;
}

/**
 * Keeps a workspace in the browser's database. One gate in both directions: what comes out passed the parsers of the document, what
 * goes in is only what changed. Where nothing can be stored it says so and the program goes on in memory.
 */
export class WorkspaceKeeper {
  readonly #options: KeeperOptions;
  readonly #now: () => number;
  readonly #channel: TabChannel;
  #database: LuglineDatabase | null = null;
  #snapshot: Snapshot = emptySnapshot;
  /** What is shown; null until the first change or load. */
  #state: StoredState | null = null;
  #savedState: StoredState | null = null;
  #timer: ReturnType<typeof setTimeout> | undefined;
  #firstChangeAt: number | null = null;
  #running: Promise<void> = Promise.resolve();
  #askedToPersist = false;
  /** Notes of leaving pages (localStorage) whose content is shown but not saved yet. */
  #noteKeys: readonly string[] = [];
  readonly #owner: string;

  private constructor(options: KeeperOptions) {
    this.#options = options;
    this.#owner = options.freshId();
    this.#now = options.now ?? Date.now;
    this.#channel = openTabChannel(options.databaseName ?? DATABASE_NAME, (revision) => this.#savedElsewhere(revision));
  }

  /** Opens the storage and reads it. Never throws: without storage the keeper works in memory and has said why. */
  static async open(
    options: KeeperOptions,
  ): Promise<{ keeper: WorkspaceKeeper; state: StoredState | null; keptAside: readonly KeptAside[] }> {
    const keeper = new WorkspaceKeeper(options);
    const opened = await openDatabase({
      ...(options.databaseName === undefined ? {} : { name: options.databaseName }),
      ...(options.openWithinMs === undefined ? {} : { withinMs: options.openWithinMs }),
      onLost: (problem) => keeper.#lost(problem),
    });
    if (!opened.ok) {
      options.onStatus({ mode: 'memory', problem: opened.message });
      return { keeper, state: null, keptAside: [] };
    }
    try {
      const loaded = await loadState(opened.database, options.freshId);
      keeper.#database = opened.database;
      keeper.#take(loaded);
      const { state, keys } = takeLeavingNotes(loaded.state, loaded.snapshot, options.freshId);
      keeper.#noteKeys = keys;
      if (state !== null) keeper.changed(state);
      options.onStatus({ mode: 'stored', problem: null, persisted: await requestPersistence('ask-nothing') });
      return { keeper, state, keptAside: loaded.keptAside };
    } catch {
      // Nothing was read, so nothing may be written either: it would stand in place of what is there.
      opened.database.close();
      const problem =
        'What is stored in the browser cannot be read at all. It is left as it is; what you enter now is kept in memory only: save a file.';
      options.onStatus({ mode: 'memory', problem });
      return { keeper, state: null, keptAside: [] };
    }
  }

  /** For the backup keeper, which stores its file handle beside the data. null in memory. */
  get database(): LuglineDatabase | null {
    return this.#database;
  }

  /** Tells what is shown now; it is saved within a second. */
  changed(state: StoredState): void {
    this.#state = state;
    if (this.#database === null || !this.#isDirty()) return;
    const now = this.#now();
    this.#firstChangeAt ??= now;
    clearTimeout(this.#timer);
    const wait = Math.max(0, Math.min(QUIET_MS, this.#firstChangeAt + LATEST_MS - now));
    this.#timer = setTimeout(() => whenIdle(() => void this.flush()), wait);
  }

  /** Saves at once what is not saved yet; resolves when it stands in the database or has failed and was reported. */
  flush(): Promise<void> {
    clearTimeout(this.#timer);
    this.#firstChangeAt = null;
    this.#running = this.#running.then(() => this.#save());
    return this.#running;
  }

  /**
   * The page is hidden or left: saves at once, and puts down beside it what is not saved yet, because a page that is going away is
   * not waited for.
   */
  leave(): void {
    const state = this.#state;
    if (state === null || this.#database === null || !this.#isDirty()) return;
    if (writeLeavingNote(this.#owner, this.#snapshot, state)) {
      this.#noteKeys = [...new Set([...this.#noteKeys, leavingNoteKey(this.#owner)])];
    }
    void this.flush();
  }

  close(): void {
    clearTimeout(this.#timer);
    this.#channel.close();
    this.#database?.close();
    this.#database = null;
  }

  #isDirty(): boolean {
    const { workspace, drafts } = this.#state ?? {};
    return workspace !== this.#savedState?.workspace || drafts !== this.#savedState?.drafts;
  }

  async #save(): Promise<void> {
    const state = this.#state;
    const database = this.#database;
    if (state === null || database === null || !this.#isDirty()) return;
    this.#options.onStatus({ saving: true });
    try {
      const result = await saveState(database, this.#snapshot, state);
      if (result.ok) this.#saved(result, state);
      else await this.#bringTogether(database);
    } catch (error) {
      this.#options.onStatus({ mode: 'memory', saving: false, problem: savingProblem(error) });
    }
  }

  #saved(result: Extract<SaveResult, { ok: true }>, state: StoredState): void {
    const isFirst = this.#savedState === null;
    this.#snapshot = result.snapshot;
    this.#savedState = state;
    this.#options.onStatus({
      mode: 'stored',
      saving: false,
      problem: null,
      ...(result.wrote ? { lastSavedAt: this.#now() } : {}),
    });
    if (!this.#isDirty()) {
      removeLeavingNotes(this.#noteKeys);
      this.#noteKeys = [];
    }
    if (!result.wrote) return;
    this.#channel.saved(result.snapshot.revision);
    // Not for the first filling of an empty profile: the browser may ask the user, who has done nothing yet.
    if (this.#askedToPersist || isFirst) return;
    this.#askedToPersist = true;
    void requestPersistence('ask').then((persisted) => this.#options.onStatus({ persisted }));
  }

  /** Another window saved first: merge, save the result, show it. */
  async #bringTogether(database: LuglineDatabase): Promise<void> {
    const { freshId } = this.#options;
    const base = this.#snapshot;
    // A third window may save in between; each round takes in what it wrote.
    for (let round = 0; round < 5; round += 1) {
      const loaded = await loadState(database, freshId, base);
      const mine = this.#state;
      if (mine === null) return;
      const merged =
        loaded.state === null ? { state: mine, keptBoth: [] } : mergeStates(base, mine, loaded.state, freshId);
      const result = await saveState(database, loaded.snapshot, merged.state);
      if (!result.ok) continue;
      // What was typed while this went on is put on top, and saved next.
      const later = this.#state ?? mine;
      const shown = later === mine ? merged.state : mergeStates(baseOf(mine), later, merged.state, freshId).state;
      this.#state = shown;
      this.#saved(result, merged.state);
      this.#options.onAdopt(shown, { keptBoth: merged.keptBoth, contentChanged: true });
      if (later !== mine) this.changed(shown);
      return;
    }
    const problem = 'Another window keeps saving at the same time. Close the other windows.';
    this.#options.onStatus({ saving: false, problem });
  }

  #savedElsewhere(revision: number): void {
    if (revision <= this.#snapshot.revision) return;
    this.#running = this.#running.then(() => this.#adoptStored());
  }

  async #adoptStored(): Promise<void> {
    const database = this.#database;
    if (database === null) return;
    // Unsaved changes here: saving them notices the other window's and brings both together.
    if (this.#isDirty()) return this.#save();
    try {
      const before = this.#snapshot;
      const loaded = await loadState(database, this.#options.freshId, before);
      if (loaded.state === null || this.#isDirty()) return;
      const active = this.#state?.workspace.activeBuildId;
      const { workspace } = loaded.state;
      const keepOpen = active !== undefined && workspace.builds[active] !== undefined;
      const state = keepOpen ? { ...loaded.state, workspace: { ...workspace, activeBuildId: active } } : loaded.state;
      this.#take({ ...loaded, state });
      const contentChanged = !sameObjects(before, loaded.snapshot);
      this.#options.onAdopt(state, { keptBoth: [], contentChanged });
    } catch (error) {
      this.#options.onStatus({ problem: savingProblem(error) });
    }
  }

  #take(loaded: LoadedState): void {
    this.#snapshot = loaded.snapshot;
    this.#state = loaded.state;
    this.#savedState = loaded.state;
  }

  #lost(problem: string): void {
    this.#database = null;
    this.#options.onStatus({ mode: 'memory', saving: false, problem });
  }
}

function sameObjects(a: Snapshot, b: Snapshot): boolean {
  return (['builds', 'maps'] as const).every(
    (store) =>
      a[store].size === b[store].size && [...a[store]].every(([id, { object }]) => b[store].get(id)?.object === object),
  );
}
