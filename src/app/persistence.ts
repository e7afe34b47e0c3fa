import { demoWorkspace, type Workspace } from '../build/index.ts';
import {
  BackupKeeper,
  type BackupStatus,
  browserSavePicker,
  downloadFile,
  flushOnLeave,
  type KeeperStatus,
  type KeptAside,
  PictureKeeper,
  type StoredState,
  WorkspaceKeeper,
} from '../storage/index.ts';
import { createId, createLuglineStore, type LuglineStore, type StorageStatus } from '../store/index.ts';
import { systemOfLanguage } from '../units/index.ts';
import type { FileActions } from './fileActions.ts';
import { createFileActions } from './fileActions.ts';

export interface Program {
  store: LuglineStore;
  files: FileActions;
  close(): void;
}

/**
 * Joins store and storage: opens what is stored (a fresh profile gets the demonstration build), saves every change within a
 * second, takes in what other windows save, and keeps the backup file up to date. Never throws: without storage it goes on in
 * memory and says so.
 */
export async function openProgram(options: { databaseName?: string } = {}): Promise<Program> {
  const status = statusJoint();
  let store: LuglineStore | null = null;
  const { keeper, state, keptAside } = await WorkspaceKeeper.open({
    freshId: createId,
    onStatus: status.keeper,
    onAdopt: (adopted, news) => store !== null && takeFromOtherWindow(store, adopted, news),
    ...options,
  });
  const opened: StoredState = state ?? { workspace: demoWorkspace(), drafts: {} };
  const pictures = new PictureKeeper(() => keeper.database);
  store = createLuglineStore(opened.workspace, { drafts: opened.drafts, pictures });
  // A record that cannot be read may need a picture that looks unused.
  if (keptAside.length === 0) void pictures.sweep(opened.workspace, Date.now());
  status.join(store);
  const backup = new BackupKeeper(keeper.database, {
    onStatus: status.backup,
    download: downloadFile,
    picker: browserSavePicker(),
  });
  await backup.restore();
  reportUnreadable(store, keptAside);
  if (state === null && systemOfLanguage(navigator.language) === 'us') {
    store.getState().notify({
      tone: 'done',
      text: 'This example is in metric units. US units (psi, lb/min, °F, hp) can be chosen now, or at any time under Colours and units.',
      details: [],
      offersUnits: 'us',
    });
  }
  const stop = saveChanges(store, keeper, backup, opened);
  const forgetLeaving = flushOnLeave(() => {
    keeper.leave();
    void backup.flush();
  });
  return {
    store,
    files: createFileActions(store, backup, keptAside),
    close() {
      stop();
      forgetLeaving();
      keeper.close();
    },
  };
}

function saveChanges(
  store: LuglineStore,
  keeper: WorkspaceKeeper,
  backup: BackupKeeper,
  opened: StoredState,
): () => void {
  let last: { workspace: Workspace; drafts: StoredState['drafts'] } = opened;
  // A fresh profile is stored at once: it must not need a change to be there next time.
  keeper.changed(last);
  return store.subscribe(({ workspace, ui: { drafts } }) => {
    if (workspace === last.workspace && drafts === last.drafts) return;
    last = { workspace, drafts };
    keeper.changed(last);
    backup.changed(workspace);
  });
}

function takeFromOtherWindow(
  store: LuglineStore,
  { workspace, drafts }: StoredState,
  { keptBoth, contentChanged }: { keptBoth: readonly string[]; contentChanged: boolean },
): void {
  store.getState().adopt(workspace, drafts, !contentChanged);
  if (keptBoth.length === 0) return;
  store.getState().notify({
    tone: 'trouble',
    text: 'Another window changed the same thing at the same time. Both versions are kept; this window’s is named:',
    details: keptBoth,
  });
}

function reportUnreadable(store: LuglineStore, keptAside: readonly KeptAside[]): void {
  if (keptAside.length === 0) return;
  store.getState().notify({
    tone: 'trouble',
    text: 'Some of what is stored in this browser cannot be read. It is left untouched there; save it as a file to keep or mend it.',
    details: keptAside.map(({ name, key, problems: [first] }) => {
      const why = first === undefined ? '' : `: ${first.path === '' ? '' : `${first.path}: `}${first.message}`;
      return `${name ?? key}${why}`;
    }),
    unreadable: keptAside.map(({ name, key }, index) => ({ name: name ?? key, index })),
  });
}

/** Browser storage and backup file report apart; the store holds one status. Kept until the store is there. */
function statusJoint() {
  let changed: Partial<StorageStatus> = {};
  let store: LuglineStore | null = null;
  let browserProblem: string | null = null;
  let fileProblem: string | null = null;
  const report = (next: Partial<StorageStatus>) => {
    const joined = { ...next, problem: browserProblem ?? fileProblem };
    if (store === null) changed = { ...changed, ...joined };
    else store.getState().setStorage(joined);
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
    join(joined: LuglineStore) {
      store = joined;
      store.getState().setStorage(changed);
    },
  };
}
