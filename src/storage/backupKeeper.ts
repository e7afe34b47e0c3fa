import type { Workspace } from '../build/index.ts';
import {
  type BackupHandle,
  type BackupRecord,
  type BackupStatus,
  type BackupStore,
  backupFileToSave,
  backupStatus,
  type FileToSave,
  NO_RECORD,
  permissionOf,
  readBackupRecord,
  type SavePicker,
} from './saveFile.ts';

/** Written again this long after the last change, and at the latest so long after the first. */
const QUIET_MS = 10_000;
const LATEST_MS = 60_000;

export interface BackupOptions {
  onStatus: (changed: Partial<BackupStatus>) => void;
  /** Hands a file to the browser's download. */
  download: (file: FileToSave) => void;
  now?: () => number;
  /** The browser's dialog for a file that the page may keep; undefined where there is none. */
  picker?: SavePicker | undefined;
}

/** One backup file of everything: saved by hand, or written again by itself where the browser lets a page keep a file. */
export class BackupKeeper {
  readonly #options: BackupOptions;
  readonly #database: () => BackupStore | null;
  readonly #now: () => number;
  #record: BackupRecord = NO_RECORD;
  #allowed = false;
  #workspace: Workspace | null = null;
  #writtenWorkspace: Workspace | null = null;
  #timer: ReturnType<typeof setTimeout> | undefined;
  #firstChangeAt: number | null = null;
  #writing: Promise<void> = Promise.resolve();

  /** `database` keeps the handle between visits; it is asked every time, because it may be lost and found again. */
  constructor(database: () => BackupStore | null, options: BackupOptions) {
    this.#database = database;
    this.#options = options;
    this.#now = options.now ?? Date.now;
  }

  /** True where the browser has a dialog for a file that the page may write again. */
  get canKeepFile(): boolean {
    return this.#options.picker !== undefined;
  }

  /** Reads what is known of the file from earlier visits. */
  async restore(): Promise<void> {
    const { record, allowed } = await readBackupRecord(this.#database());
    this.#record = record;
    this.#allowed = allowed;
    this.#report();
  }

  /** Lets the user choose the file and writes it. Call it from a click. Without the dialog the file goes to the downloads. */
  async choose(workspace: Workspace): Promise<void> {
    const { picker } = this.#options;
    const file = backupFileToSave(workspace, this.#now());
    if (picker === undefined) return this.saveByHand(workspace);
    let handle: BackupHandle;
    try {
      const types = [{ description: 'Lugline backup', accept: { 'application/json': ['.json'] } }];
      handle = await picker({ suggestedName: file.name, types });
    } catch (error) {
      // The dialog was closed: that is an answer, not a fault.
      if (error instanceof Error && error.name === 'AbortError') return;
      return this.#report('The browser did not let the page choose a file. Save the backup by hand.');
    }
    this.#record = { ...this.#record, handle };
    this.#allowed = true;
    await this.#write(workspace);
  }

  /** Asks to be let at the kept file again, and writes it. Call it from a click. */
  async allow(workspace: Workspace): Promise<void> {
    const { handle } = this.#record;
    if (handle === null) return;
    this.#allowed =
      (await handle.requestPermission?.({ mode: 'readwrite' }).catch(() => 'denied' as const)) === 'granted';
    if (this.#allowed) await this.#write(workspace);
    else this.#report();
  }

  /** Saves everything to the downloads. */
  async saveByHand(workspace: Workspace): Promise<void> {
    this.#options.download(backupFileToSave(workspace, this.#now()));
    await this.#noteSaved(workspace);
  }

  /** Saves another file by hand, such as one build: it counts as saved to a file, the kept file goes on by itself. */
  async saveFile(file: FileToSave): Promise<void> {
    this.#options.download(file);
    await this.#noteSaved(this.#writtenWorkspace);
  }

  /** Stops writing the file by itself; the file stays where it is. */
  async forget(): Promise<void> {
    clearTimeout(this.#timer);
    this.#record = { ...this.#record, handle: null };
    this.#allowed = false;
    await this.#store();
    this.#report();
  }

  /** Tells what is shown now; the kept file follows within ten seconds of quiet. */
  changed(workspace: Workspace): void {
    this.#workspace = workspace;
    if (!this.#allowed || workspace === this.#writtenWorkspace) return;
    const now = this.#now();
    this.#firstChangeAt ??= now;
    clearTimeout(this.#timer);
    const wait = Math.max(0, Math.min(QUIET_MS, this.#firstChangeAt + LATEST_MS - now));
    this.#timer = setTimeout(() => void this.flush(), wait);
  }

  /** Writes the kept file now where it is behind. */
  async flush(): Promise<void> {
    clearTimeout(this.#timer);
    const workspace = this.#workspace;
    if (!this.#allowed || workspace === null || workspace === this.#writtenWorkspace) return this.#writing;
    await this.#write(workspace);
  }

  #write(workspace: Workspace): Promise<void> {
    this.#firstChangeAt = null;
    this.#writing = this.#writing.then(() => this.#writeNow(workspace));
    return this.#writing;
  }

  async #writeNow(workspace: Workspace): Promise<void> {
    const { handle } = this.#record;
    if (handle === null) return;
    try {
      const writable = await handle.createWritable();
      // The browser puts the new content in place only at close: a crash in between leaves the old file.
      await writable.write(backupFileToSave(workspace, this.#now()).text);
      await writable.close();
      await this.#noteSaved(workspace);
    } catch {
      this.#allowed = (await permissionOf(handle).catch(() => 'denied' as const)) === 'granted';
      this.#report(
        `The backup file '${handle.name}' could not be written. It may have been moved or be open elsewhere: choose it again.`,
      );
    }
  }

  async #noteSaved(workspace: Workspace | null): Promise<void> {
    this.#writtenWorkspace = workspace;
    this.#record = { ...this.#record, lastFileSavedAt: this.#now() };
    await this.#store();
    this.#report();
  }

  /** Time and handle apart: a browser that cannot store the handle still stores the time. */
  async #store(): Promise<void> {
    await this.#put('backup time', this.#record.lastFileSavedAt);
    await this.#put('backup file', this.#record.handle);
  }

  async #put(key: string, value: unknown): Promise<void> {
    try {
      await this.#database()?.put('meta', value, key);
    } catch {
      // Without a place for it the file is written all the same until the page closes.
    }
  }

  #report(keptFileProblem: string | null = null): void {
    this.#options.onStatus(backupStatus(this.#record, this.#allowed, keptFileProblem));
  }
}
