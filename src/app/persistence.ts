import { defaultBuild, loadDemo, type Workspace, workspaceOf } from '../build/index.ts';
import {
  type AdoptedNews,
  type BackupStatus,
  ByteKeeper,
  backupStatus,
  DATABASE_NAME,
  FitKeeper,
  flushOnLeave,
  type KeeperStatus,
  type KeptAside,
  readBackupRecord,
  type StoredState,
  WorkspaceKeeper,
} from '../storage/index.ts';
import { createId, createLuglineStore, type LuglineStore, type StorageStatus } from '../store/index.ts';
import { systemOfLanguage } from '../units/index.ts';
import type { FileActions } from './fileActions.ts';
import { type LateFiles, lateFiles } from './lateFiles.ts';

export interface Program {
  store: LuglineStore;
  files: FileActions;
  /** Fetches the part that works on files. */
  fetchFiles: () => Promise<unknown>;
  close(): void;
}

/** Whether this browser may hold a workspace already, so that the demonstration need not be fetched; false where it does not say, or not soon. */
async function isStored(name = DATABASE_NAME): Promise<boolean> {
  // A browser that forbids storage may throw at the mere mention of it.
  const asked = async () => (await globalThis.indexedDB?.databases?.()) ?? [];
  const late = new Promise<IDBDatabaseInfo[]>((resolve) => setTimeout(resolve, 500, []));
  const found = await Promise.race([asked().catch(() => []), late]);
  return found.some((database) => database.name === name);
}

/**
 * Joins store and storage: opens what is stored (a fresh profile gets the demonstration build), saves every change within a
 * second, takes in what other windows save, and keeps the backup file up to date. Never throws: without storage it goes on in
 * memory and says so.
 */
export async function openProgram(options: { databaseName?: string } = {}): Promise<Program> {
  const status = statusJoint();
  const keptAside: KeptAside[] = [];
  let store: LuglineStore | null = null;
  let isFirstStart = false;
  const blankState = () => ({ workspace: workspaceOf([defaultBuild(createId())]), drafts: {} });
  const demo = (await isStored(options.databaseName)) ? null : await loadDemo().catch(() => null);
  const { keeper, state: opened } = await WorkspaceKeeper.open({
    freshId: createId,
    freshState: () => {
      isFirstStart = demo !== null;
      return demo === null ? blankState() : { workspace: demo.demoWorkspace(), drafts: {} };
    },
    blankState,
    onStatus: status.keeper,
    onAdopt: (adopted, news) => status.once((joined) => takeFromElsewhere(joined, adopted, news)),
    onKeptAside: (records) => {
      const first = keptAside.length;
      keptAside.push(...records);
      status.once((joined) => reportUnreadable(joined, records, first));
    },
    ...options,
  });
  const pictures = new ByteKeeper('pictures', () => keeper.database);
  const logs = new ByteKeeper('logs', () => keeper.database);
  const fits = new FitKeeper(
    () => keeper.database,
    () => store?.getState().workspace ?? null,
  );
  store = createLuglineStore(opened.workspace, { drafts: opened.drafts, pictures, logs, fitter: fits });
  // A record that cannot be read may need what looks unused.
  if (keptAside.length === 0) for (const kept of [pictures, logs]) void kept.sweep(opened.workspace, Date.now());
  status.join(store);
  const [{ record, allowed }] = await Promise.all([readBackupRecord(keeper.database), fits.load()]);
  status.backup(backupStatus(record, allowed));
  const late = lateFiles({ store, database: () => keeper.database, onStatus: status.backup, keptAside });
  if (isFirstStart && systemOfLanguage(navigator.language) === 'us') {
    store.getState().notify({
      tone: 'done',
      text: 'This example is in metric units. US units (psi, lb/min, °F, hp) can be chosen now, or at any time under Colours and units.',
      details: [],
      offersUnits: 'us',
    });
  }
  const stop = saveChanges(store, keeper, late, opened);
  const forgetLeaving = flushOnLeave(
    () => {
      keeper.leave();
      late.flush();
    },
    () => keeper.mustAsk,
  );
  return {
    store,
    files: late.files,
    fetchFiles: late.fetch,
    close() {
      stop();
      forgetLeaving();
      fits.close();
      keeper.close();
    },
  };
}

function saveChanges(store: LuglineStore, keeper: WorkspaceKeeper, files: LateFiles, opened: StoredState): () => void {
  let last: { workspace: Workspace; drafts: StoredState['drafts'] } = opened;
  return store.subscribe(({ workspace, ui: { drafts } }) => {
    if (workspace === last.workspace && drafts === last.drafts) return;
    last = { workspace, drafts };
    keeper.changed(last);
    files.changed(workspace);
  });
}

function takeFromElsewhere(store: LuglineStore, { workspace, drafts }: StoredState, news: AdoptedNews): void {
  const gone = store.getState().adopt(workspace, drafts);
  const say = (text: string, details: readonly string[]) => store.getState().notify({ tone: 'trouble', text, details });
  if (news.keptBoth.length > 0)
    say(
      'Another window changed the same thing at the same time. Both versions are kept; this window’s is named:',
      news.keptBoth,
    );
  if (gone > 0)
    say(
      `Another window changed what ${gone === 1 ? 'a step' : `${gone} steps`} of undo here had changed: ${gone === 1 ? 'it is' : 'they are'} gone. The other steps can still be undone.`,
      [],
    );
  if (news.keptForDrafts.length > 0)
    say(
      'Another window deleted this build while an entry in it cannot be read yet. It is kept; delete it here if it is to go:',
      news.keptForDrafts,
    );
  if (news.writtenBack)
    say('The browser’s storage was cleared while this page was open. What this page held is written back into it.', []);
}

/** `first`: how many of them were reported before. */
function reportUnreadable(store: LuglineStore, records: readonly KeptAside[], first: number): void {
  store.getState().notify({
    tone: 'trouble',
    text: 'Some of what is stored in this browser cannot be read. It is left untouched there; save it as a file to keep or mend it.',
    details: records.map(({ name, key, problems: [problem] }) => {
      const why = problem === undefined ? '' : `: ${problem.path === '' ? '' : `${problem.path}: `}${problem.message}`;
      return `${name ?? key}${why}`;
    }),
    unreadable: records.map(({ name, key }, index) => ({ name: name ?? key, index: first + index })),
  });
}

/** Browser storage and backup file report apart; the store holds one status. What comes before the store is there waits for it. */
function statusJoint() {
  let changed: Partial<StorageStatus> = {};
  const waiting: ((store: LuglineStore) => void)[] = [];
  let store: LuglineStore | null = null;
  let browserProblem: string | null = null;
  let fileProblem: string | null = null;
  let said: string | null = null;
  const report = (next: Partial<StorageStatus>) => {
    const joined = { ...next, problem: browserProblem ?? fileProblem };
    if (store === null) changed = { ...changed, ...joined };
    else {
      store.getState().setStorage(joined);
      said = noteTrouble(store, browserProblem, said);
    }
  };
  return {
    keeper(next: Partial<KeeperStatus>) {
      if (next.problem !== undefined) browserProblem = next.problem;
      report(next);
    },
    backup({ keptFileProblem, ...next }: Partial<BackupStatus>) {
      if (keptFileProblem !== undefined) fileProblem = keptFileProblem;
      report(next);
    },
    /** Does it with the store, as soon as there is one. */
    once(act: (store: LuglineStore) => void) {
      if (store === null) waiting.push(act);
      else act(store);
    },
    join(joined: LuglineStore) {
      store = joined;
      for (const act of waiting) act(joined);
      report(changed);
    },
  };
}

const TROUBLE = 'storage';

/**
 * Trouble with the storage stands in a notice of its own while it lasts, or until it is dismissed; a window that opened without its data
 * says so. `said` is what was said last; what is said now is given back.
 */
function noteTrouble(store: LuglineStore, problem: string | null, said: string | null): string | null {
  const { storage, notify, dismiss } = store.getState();
  const isWaiting = storage.waitingSince !== null && storage.mode === 'memory';
  const text = problem ?? (isWaiting ? WAITS : null);
  if (text === null && said !== null) dismiss(TROUBLE);
  if (text !== null && text !== said) notify({ id: TROUBLE, tone: 'trouble', text, details: [], offersFile: true });
  return text;
}

const WAITS =
  'The browser does not answer: another window may hold the storage. What is stored there is not shown yet; it is added to what you enter here as soon as the browser answers.';
