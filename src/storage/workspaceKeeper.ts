import { openTabChannel, requestPersistence, type TabChannel, whenIdle } from './browser.ts';
import { DATABASE_NAME, type LuglineDatabase, openDatabase } from './database.ts';
import type { TakenNotes } from './gate.ts';
import { type Gate, GateDoor } from './gateDoor.ts';
import { leavingNoteKey, type NoteBase, removeLeavingNotes, writeLeavingNote } from './leavingNote.ts';
import {
  asSnapshot,
  emptySnapshot,
  isKnown,
  isSameStore,
  type KeptAside,
  type LoadedState,
  loadState,
  type Snapshot,
  type StoredState,
} from './load.ts';
import { type SaveResult, saveState } from './save.ts';
import { type AdoptedNews, GOES_ON, type KeeperStatus, NO_NEWS, readingProblem, savingProblem } from './status.ts';

/** Saved this long after the last change, and at the latest so long after the first one: within a second either way. */
const QUIET_MS = 300;
const LATEST_MS = 850;
/** Beyond this a browser that does not answer is news. */
const ANSWERS_WITHIN_MS = 2000;
/** A lost database is asked for again after so long, then after twice that, and so on up to the longest pause. */
const FIRST_PAUSE_MS = 500;
const LONGEST_PAUSE_MS = 30_000;

export interface KeeperOptions {
  freshId: () => string;
  /** What a profile in which nothing is stored begins with. */
  freshState: () => StoredState;
  /** What is shown while the browser does not answer and no leaving page has put anything down. */
  blankState: () => StoredState;
  onStatus: (changed: Partial<KeeperStatus>) => void;
  /** Something else than what is shown is stored now: show this in its place. */
  onAdopt: (state: StoredState, news: AdoptedNews) => void;
  /** Records that cannot be read. */
  onKeptAside: (records: readonly KeptAside[]) => void;
  now?: () => number;
  databaseName?: string;
  answersWithinMs?: number;
  fetchGate?: () => Promise<Gate>;
}

/**
 * Keeps a workspace in the browser's database. One gate in both directions: what comes out passed the parsers of the document, what
 * goes in is only what changed. Where nothing can be stored it says so, goes on in memory, and asks for the database again: by itself
 * with growing pauses, and at the next change.
 */
export class WorkspaceKeeper {
  readonly #options: KeeperOptions;
  readonly #now: () => number;
  readonly #channel: TabChannel;
  readonly #owner: string;
  readonly #door: GateDoor;
  #database: LuglineDatabase | null = null;
  /** What is known to stand in the database. */
  #snapshot: Snapshot = emptySnapshot;
  /** What is shown, and what of it is saved; null: nothing yet. */
  #state: StoredState | null = null;
  #savedState: StoredState | null = null;
  /** What the page began with while nothing could be read: the base of what was changed since. null once the store was read. */
  #began: StoredState | null = null;
  #timer: ReturnType<typeof setTimeout> | undefined;
  #firstChangeAt: number | null = null;
  #running: Promise<void> = Promise.resolve();
  #askedToPersist = false;
  /** Notes of leaving pages (localStorage) whose content is shown but not saved yet. */
  #noteKeys: readonly string[] = [];
  #grewFrom: { base: NoteBase; keys: readonly string[] } | null = null;
  #noteIsWhole = false;
  #connecting: Promise<void> | null = null;
  #retry: ReturnType<typeof setTimeout> | undefined;
  #pauseMs = FIRST_PAUSE_MS;
  #waiting = false;
  #closed = false;

  private constructor(options: KeeperOptions) {
    this.#options = options;
    this.#owner = options.freshId();
    this.#door = new GateDoor(options.fetchGate);
    this.#now = options.now ?? Date.now;
    this.#channel = openTabChannel(options.databaseName ?? DATABASE_NAME, (revision) => this.#savedElsewhere(revision));
  }

  /**
   * Opens the storage and reads it. Never throws, and never waits longer than two seconds: without storage the keeper works in memory and
   * has said why; what is stored is taken up when the browser answers after all.
   */
  static async open(options: KeeperOptions): Promise<{ keeper: WorkspaceKeeper; state: StoredState }> {
    const keeper = new WorkspaceKeeper(options);
    await new Promise<void>((resolve) => void keeper.#watched(keeper.#connect(), resolve).then(resolve));
    return { keeper, state: keeper.#state ?? (await keeper.#beginWithout()) };
  }

  /** For what is stored beside the data. null while there is no database. */
  get database(): LuglineDatabase | null {
    return this.#database;
  }

  /** Whether something would be lost if the page closed now, or might be: `leave` has been called before. */
  get mustAsk(): boolean {
    return this.#isDirty() && (!this.#noteIsWhole || this.#database === null || this.#waiting);
  }

  /** Tells what is shown now; it is saved within a second. */
  changed(state: StoredState): void {
    this.#state = state;
    if (!this.#isDirty()) return;
    const now = this.#now();
    this.#firstChangeAt ??= now;
    clearTimeout(this.#timer);
    const wait = Math.max(0, Math.min(QUIET_MS, this.#firstChangeAt + LATEST_MS - now));
    this.#timer = setTimeout(() => whenIdle(() => void this.flush()), wait);
  }

  /** Saves at once what is not saved yet; resolves when it stands in the database, or has failed or waits and that was reported. */
  flush(): Promise<void> {
    clearTimeout(this.#timer);
    this.#firstChangeAt = null;
    this.#running = this.#running.then(() => this.#save());
    return this.#running;
  }

  /**
   * The page is hidden or left: saves at once, and puts down beside it what is not saved yet, because a page that is going away is
   * not waited for, and whatever the state of the database.
   */
  leave(): void {
    const state = this.#state;
    const wasRead = this.#began === null;
    if (state === null || !(this.#isDirty() || (this.#database === null && wasRead))) return;
    this.#noteIsWhole = writeLeavingNote({
      owner: this.#owner,
      state,
      snapshot: this.#snapshot,
      wasRead,
      grewFrom: this.#grewFrom,
      now: this.#now(),
    });
    if (this.#noteIsWhole) this.#noteKeys = [...new Set([...this.#noteKeys, leavingNoteKey(this.#owner)])];
    if (this.#database !== null) void this.flush();
  }

  close(): void {
    this.#closed = true;
    clearTimeout(this.#timer);
    clearTimeout(this.#retry);
    this.#channel.close();
    this.#database?.close();
    this.#database = null;
  }

  #isDirty(): boolean {
    const { workspace, drafts } = this.#state ?? {};
    return workspace !== this.#savedState?.workspace || drafts !== this.#savedState?.drafts;
  }

  /** Says when the browser is waited for; `onLate` is called then. */
  async #watched(work: Promise<void>, onLate: () => void = () => undefined): Promise<void> {
    const since = this.#now();
    const withinMs = this.#options.answersWithinMs ?? ANSWERS_WITHIN_MS;
    const late = () => {
      if (this.#door.isAwaited) {
        timer = setTimeout(late, withinMs);
        return;
      }
      this.#waiting = true;
      this.#options.onStatus({ waitingSince: since });
      onLate();
    };
    let timer = setTimeout(late, withinMs);
    await work;
    clearTimeout(timer);
    if (!this.#waiting) return;
    this.#waiting = false;
    this.#options.onStatus({ waitingSince: null });
  }

  /** What the page shows while nothing can be read: what leaving pages have put down, else a blank state. */
  async #beginWithout(): Promise<StoredState> {
    const notes = await this.#door.takeNotes(null, emptySnapshot, this.#options.freshId).catch(() => null);
    // The browser, or the part that was missing, has come meanwhile.
    if (this.#state !== null) return this.#state;
    if (notes?.base != null) this.#grewFrom = { base: notes.base, keys: notes.keys };
    const began = notes?.state ?? (this.#waiting ? this.#options.blankState() : this.#options.freshState());
    this.#noteKeys = notes?.keys ?? [];
    this.#began = began;
    this.#state = began;
    this.#savedState = began;
    // So that a note of this page holds no more than what was entered, or what earlier notes held.
    if (notes?.state == null) this.#snapshot = asSnapshot(began);
    this.#options.onStatus({ mode: 'memory' });
    if (notes !== null && notes.unreadable.length > 0) this.#options.onKeptAside(notes.unreadable);
    return began;
  }

  /** Opens the database and takes up what it holds. One try at a time; a failed one is followed by another. */
  #connect(): Promise<void> {
    clearTimeout(this.#retry);
    this.#connecting ??= this.#tryToConnect().finally(() => {
      this.#connecting = null;
      if (this.#database === null) this.#connectLater();
    });
    return this.#connecting;
  }

  #connectLater(): void {
    clearTimeout(this.#retry);
    if (this.#closed) return;
    this.#retry = setTimeout(() => void this.#connect(), this.#pauseMs);
    this.#pauseMs = Math.min(2 * this.#pauseMs, LONGEST_PAUSE_MS);
  }

  async #tryToConnect(): Promise<void> {
    const { databaseName, onStatus } = this.#options;
    let isLost = false;
    const opened = await openDatabase({
      ...(databaseName === undefined ? {} : { name: databaseName }),
      onLost: (why) => {
        isLost = true;
        this.#lost(why);
      },
      onBlocked: () =>
        onStatus({ problem: 'Another window with an older Lugline holds the storage. Close it, or reload it.' }),
    });
    if (!opened.ok) return onStatus({ mode: 'memory', problem: opened.message });
    const { database } = opened;
    try {
      const loaded = await this.#load(database, this.#snapshot);
      await this.#takeUp(database, loaded);
      if (isLost || this.#closed) return database.close();
      // Only now: what is saved meanwhile waits for this.
      this.#database = database;
      if (this.#state !== null) this.changed(this.#state);
      onStatus({ persisted: await requestPersistence('ask-nothing') });
    } catch (error) {
      database.close();
      // Before anything was read nothing may be written: it would stand in place of what is there.
      const wasRead = this.#state !== null && this.#began === null;
      onStatus({ mode: 'memory', saving: false, problem: (wasRead ? savingProblem : readingProblem)(error) });
    }
  }

  #load(database: LuglineDatabase, lastKnown: Snapshot): Promise<LoadedState> {
    return loadState(database, { freshId: this.#options.freshId, gate: this.#door.open, lastKnown });
  }

  async #takeUp(database: LuglineDatabase, loaded: LoadedState): Promise<void> {
    if (this.#state === null) {
      const notes = await this.#door.takeNotes(loaded.state, loaded.snapshot, this.#options.freshId);
      // Unless the page has begun without it meanwhile.
      if (this.#state === null) return this.#begin(loaded, notes);
    }
    if (this.#began !== null || !isKnown(this.#snapshot, loaded.snapshot)) return this.#bringTogether(database, loaded);
    // Where something waits to be saved, only its saving shows that all is well again.
    if (this.#isDirty()) return;
    this.#allSaved();
    this.#options.onStatus({ mode: 'stored', saving: false, problem: null });
  }

  /** The first reading, before anything is shown. */
  #begin(loaded: LoadedState, notes: TakenNotes): void {
    const { freshState, onStatus, onKeptAside, onAdopt } = this.#options;
    this.#snapshot = loaded.snapshot;
    this.#savedState = loaded.state;
    this.#noteKeys = notes.keys;
    const state = notes.state ?? freshState();
    this.changed(state);
    onStatus({ mode: 'stored', problem: null });
    const keptAside = [...loaded.keptAside, ...notes.unreadable];
    if (keptAside.length > 0) onKeptAside(keptAside);
    if (notes.keptBoth.length > 0) onAdopt(state, { ...NO_NEWS, keptBoth: notes.keptBoth });
  }

  async #save(): Promise<void> {
    if (this.#state === null || !this.#isDirty()) return;
    if (this.#database === null) await this.#watched(this.#connect());
    const [state, database] = [this.#state, this.#database];
    if (database !== null && this.#isDirty()) await this.#watched(this.#saveIn(database, state));
  }

  async #saveIn(database: LuglineDatabase, state: StoredState): Promise<void> {
    this.#options.onStatus({ saving: true });
    try {
      const result = await saveState(database, this.#snapshot, state, this.#owner);
      if (result.ok) this.#saved(result, state);
      else await this.#bringTogether(database, null);
    } catch (error) {
      database.close();
      if (this.#database === database) this.#database = null;
      this.#options.onStatus({ mode: 'memory', saving: false, problem: savingProblem(error) });
      this.#connectLater();
    }
  }

  #saved(result: Extract<SaveResult, { ok: true }>, state: StoredState): void {
    const isFirst = this.#savedState === null;
    this.#snapshot = result.snapshot;
    this.#savedState = state;
    this.#allSaved();
    this.#options.onStatus({
      mode: 'stored',
      saving: false,
      problem: null,
      ...(result.wrote ? { lastSavedAt: this.#now() } : {}),
    });
    if (!result.wrote) return;
    this.#channel.saved(result.snapshot.revision);
    // Not for the first filling of an empty profile: the browser may ask the user, who has done nothing yet.
    if (this.#askedToPersist || isFirst) return;
    this.#askedToPersist = true;
    void requestPersistence('ask').then((persisted) => this.#options.onStatus({ persisted }));
  }

  #allSaved(): void {
    this.#pauseMs = FIRST_PAUSE_MS;
    if (this.#isDirty()) return;
    removeLeavingNotes(this.#noteKeys);
    this.#noteKeys = [];
  }

  /** Something else stands in the store than is known: another window saved, or it was cleared. Merge, save the result, show it. */
  async #bringTogether(database: LuglineDatabase, alreadyLoaded: LoadedState | null): Promise<void> {
    const { freshId, freshState, onAdopt, onKeptAside } = this.#options;
    const { join, mergeStates } = await this.#door.open();
    const [known, began] = [this.#snapshot, this.#began];
    let loaded = alreadyLoaded;
    // A third window may save in between; each round takes in what it wrote.
    for (let round = 0; round < 5; round += 1) {
      loaded ??= await this.#load(database, known);
      const mine = this.#state;
      if (mine === null) return;
      const joined = join({ state: mine, known, began }, loaded, freshId, freshState);
      const result = await saveState(database, loaded.snapshot, joined.state, this.#owner);
      if (!result.ok) {
        loaded = null;
        continue;
      }
      // What was typed while this went on is put on top, and saved next.
      const later = this.#state ?? mine;
      const shown = later === mine ? joined.state : mergeStates(asSnapshot(mine), later, joined.state, freshId).state;
      this.#began = null;
      this.#grewFrom = null;
      this.#noteKeys = [...new Set([...this.#noteKeys, ...(joined.notes?.keys ?? [])])];
      this.#state = shown;
      this.#saved(result, joined.state);
      onAdopt(shown, {
        keptBoth: joined.keptBoth,
        contentChanged: shown !== mine,
        writtenBack: joined.wasCleared,
        keptForDrafts: joined.keptForDrafts,
      });
      if (began !== null && loaded.keptAside.length > 0) onKeptAside(loaded.keptAside);
      if (later !== mine) this.changed(shown);
      return;
    }
    const problem = 'Another window keeps saving at the same time. Close the other windows.';
    this.#options.onStatus({ saving: false, problem });
  }

  #savedElsewhere(revision: number): void {
    if (revision === this.#snapshot.revision) return;
    this.#running = this.#running.then(() => this.#adoptStored());
  }

  async #adoptStored(): Promise<void> {
    const database = this.#database;
    if (database === null) return;
    // Unsaved changes here: saving them notices the other window's and brings both together.
    if (this.#isDirty()) return this.#save();
    try {
      const before = this.#snapshot;
      const { keepDrafted, sameObjects, withOpenBuild } = await this.#door.open();
      const loaded = await this.#load(database, before);
      if (this.#isDirty() || isKnown(before, loaded.snapshot)) return;
      if (loaded.state === null || this.#state === null || !isSameStore(before, loaded.snapshot))
        return await this.#bringTogether(database, loaded);
      const { state: theirs, names } = keepDrafted(this.#state, loaded.state);
      const state = withOpenBuild(theirs, this.#state);
      this.#snapshot = loaded.snapshot;
      this.#savedState = names.length === 0 ? state : loaded.state;
      this.changed(state);
      const contentChanged = !sameObjects(before, loaded.snapshot);
      this.#options.onAdopt(state, { ...NO_NEWS, contentChanged, keptForDrafts: names });
    } catch (error) {
      this.#options.onStatus({ problem: savingProblem(error) });
    }
  }

  #lost(why: string): void {
    this.#database = null;
    if (this.#closed) return;
    this.#options.onStatus({ mode: 'memory', saving: false, problem: `${why} ${GOES_ON}` });
    void this.#connect();
  }
}
