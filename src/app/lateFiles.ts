import type { Workspace } from '../build/index.ts';
import { backupFileToSave, browserSavePicker, downloadFile, pickFiles } from '../storage/index.ts';
import type { FileActions, FileWork, FileWorkOptions } from './fileActions.ts';

export interface LateFiles {
  files: FileActions;
  /** Fetches the part that does the work; asks again when it is called again, which not every browser hears before a reload. */
  fetch: () => Promise<unknown>;
  /** Tells what is shown now, for the kept backup file. What was changed before the part has come is made up for when it comes. */
  changed: (workspace: Workspace) => void;
  /** Writes the kept file now where it is behind. */
  flush: () => void;
}

/** What can be done with files, done by a late part: nobody opens or saves one before there is a picture. */
export function lateFiles(options: FileWorkOptions): LateFiles {
  const { store } = options;
  const opened = store.getState().workspace;
  let work: FileWork | null = null;
  let coming: Promise<FileWork> | null = null;
  const begin = async () => {
    const { beginFileWork } = await import('./fileActions.ts');
    work = await beginFileWork(options);
    const { workspace } = store.getState();
    if (workspace !== opened) work.backup.changed(workspace);
    return work;
  };
  const fetch = () => {
    coming ??= begin().catch((error: unknown) => {
      coming = null;
      throw error;
    });
    return coming;
  };
  const missing = () => store.getState().notify({ id: MISSING, tone: 'trouble', text: MISSING_WORDS, details: [] });
  const later =
    <A extends unknown[]>(act: (files: FileActions, ...what: A) => void, otherwise: () => void = missing) =>
    (...what: A) => {
      if (work !== null) act(work.files, ...what);
      else void fetch().then(({ files }) => act(files, ...what), otherwise);
    };
  const take = later((files, chosen: File[]) => files.take(chosen));
  const isKeeping = browserSavePicker() !== undefined;
  return {
    files: {
      // The browser opens its dialog only for the click itself.
      open: () => void pickFiles().then(take),
      take,
      openDemo: later((files) => files.openDemo()),
      saveBuild: later((files) => files.saveBuild()),
      saveMap: later((files, mapId: string) => files.saveMap(mapId)),
      // Whatever is missing: everything can be saved. Only the time of it is not noted then.
      saveBackup: later(
        (files) => files.saveBackup(),
        () => downloadFile(backupFileToSave(store.getState().workspace, Date.now())),
      ),
      confirmRestore: later((files) => files.confirmRestore()),
      cancelRestore: later((files) => files.cancelRestore()),
      saveUnreadable: later((files, index: number) => files.saveUnreadable(index)),
      keepFile: isKeeping ? later((files) => files.keepFile?.()) : null,
      allowKeptFile: later((files) => files.allowKeptFile()),
      forgetKeptFile: later((files) => files.forgetKeptFile()),
    },
    fetch,
    changed(workspace) {
      if (work !== null) work.backup.changed(workspace);
      else if (workspace !== opened) void fetch().catch(() => undefined);
    },
    flush: () => void work?.backup.flush(),
  };
}

const MISSING = 'files';
const MISSING_WORDS =
  'The part of the program that opens and saves files could not be fetched: the network is gone, or the page was replaced by a newer one. Everything entered is kept. Reload the page when the network is back.';
