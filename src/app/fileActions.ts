import {
  addSheet,
  type Build,
  countRestore,
  draftToMapFile,
  importBuild,
  importMap,
  loadDemo,
  type MapDraft,
  type Problem,
  restoreBackup,
  sameContent,
} from '../build/index.ts';
import {
  BackupKeeper,
  type BackupStatus,
  browserSavePicker,
  buildFileToSave,
  downloadFile,
  type KeptAside,
  keptAsideToSave,
  mapFileToSave,
  type OpenedFile,
  openFile,
  pickFiles,
} from '../storage/index.ts';
import {
  createId,
  draftOfFile,
  isLogFile,
  type LuglineStore,
  selectActiveBuild,
  selectMap,
  selectShownCandidate,
  takePicture,
  withPicture,
} from '../store/index.ts';

/** What can be done with files; persistence does it, header and drop target ask for it. */
export interface FileActions {
  /** Lets the person choose files and takes them in. */
  open: () => void;
  /** Opens the second demonstration, which no profile has from the start. */
  openDemo: () => void;
  /** Takes in files that were dropped. */
  take: (files: File[]) => void;
  saveBuild: () => void;
  /** Saves one map of the shelf as a file. */
  saveMap: (mapId: string) => void;
  saveBackup: () => void;
  /** Answers to the backup that waits in `ui.pendingRestore`. */
  confirmRestore: () => void;
  cancelRestore: () => void;
  /** Saves a stored record that could not be read, as it stands; counted as in the notice about it. */
  saveUnreadable: (index: number) => void;
  /** Chooses a backup file that is written again after every change; null where the browser cannot. */
  keepFile: (() => void) | null;
  /** Asks the browser for leave to write the kept file again. */
  allowKeptFile: () => void;
  forgetKeptFile: () => void;
}

/** The work on files, once its part has come. */
export interface FileWork {
  files: FileActions;
  backup: BackupKeeper;
}

export interface FileWorkOptions {
  store: LuglineStore;
  database: ConstructorParameters<typeof BackupKeeper>[0];
  onStatus: (changed: Partial<BackupStatus>) => void;
  /** Filled by whoever finds what cannot be read. */
  keptAside: readonly KeptAside[];
}

/** Begins it: the kept backup file is known again. Never throws. */
export async function beginFileWork({ store, database, onStatus, keptAside }: FileWorkOptions): Promise<FileWork> {
  const backup = new BackupKeeper(database, { onStatus, download: downloadFile, picker: browserSavePicker() });
  await backup.restore();
  return { files: createFileActions(store, backup, keptAside), backup };
}

type Backup = Extract<OpenedFile, { kind: 'backup' }>['backup'];

/** What the header, the drop target and the dialogs do with files. A file that cannot be read changes nothing and says why. */
export function createFileActions(
  store: LuglineStore,
  backup: BackupKeeper,
  keptAside: readonly KeptAside[],
): FileActions {
  let waiting: Backup | null = null;
  const take = async (files: readonly File[]) => {
    for (const file of files) {
      if (await isLogFile(file)) {
        if (!(await takeTable(store, file))) takeLog(store, file);
        continue;
      }
      const opened = await openFile(file, createId());
      if (!opened.ok) {
        refuse(store, file.name, opened.problems);
        continue;
      }
      if (opened.value.kind === 'map') {
        const { map, picture } = opened.value;
        const lost = await takePicture(picture, map, store.getState().pictures);
        takeMap(store, map, [...opened.notes, ...(lost === null ? [] : [{ path: '', message: lost }])]);
      } else if (opened.value.kind === 'build') takeBuild(store, opened.value.build, opened.notes);
      else {
        waiting = opened.value.backup;
        previewRestore(store, file.name, waiting, opened.notes);
      }
    }
  };
  return {
    open: () => void pickFiles().then(take),
    openDemo: () =>
      void loadDemo().then(
        ({ demoV6 }) => takeBuild(store, demoV6(), []),
        () =>
          store.getState().notify({
            tone: 'trouble',
            text: 'The example could not be fetched. Connect to the network and reload the page; everything entered is kept.',
            details: [],
          }),
      ),
    take: (files) => void take(files),
    saveBuild: () => void backup.saveFile(buildFileToSave(selectActiveBuild(store.getState()))),
    saveMap: (mapId) => void saveMap(store, mapId),
    saveBackup: () => void backup.saveByHand(store.getState().workspace),
    confirmRestore: () => {
      if (waiting !== null) restore(store, waiting);
      waiting = null;
    },
    cancelRestore: () => {
      waiting = null;
      store.getState().setUi({ pendingRestore: null });
    },
    saveUnreadable: (index) => {
      const record = keptAside[index];
      if (record !== undefined) downloadFile(keptAsideToSave(record));
    },
    keepFile: backup.canKeepFile ? () => void backup.choose(store.getState().workspace) : null,
    allowKeptFile: () => void backup.allow(store.getState().workspace),
    forgetKeptFile: () => void backup.forget(),
  };
}

/** No table of a sheet is larger. */
const LARGEST_TABLE_BYTES = 1024 * 1024;

/** A text file that holds a table of speed lines or of a turbine sheet: for a new sheet, as if it were pasted there. False: it is none. */
async function takeTable(store: LuglineStore, file: File): Promise<boolean> {
  if (file.size > LARGEST_TABLE_BYTES) return false;
  const text = await file.text();
  // Where the part cannot be fetched, the Log view says what it makes of the file.
  const maps = await import('../views/maps/index.ts').catch(() => null);
  const kind = maps?.sheetKindOfTable(text) ?? null;
  if (maps === null || kind === null) return false;
  const id = createId();
  const { run, setDraft, setUi, notify } = store.getState();
  run(addSheet(kind, id, file.name.replace(/\.\w+$/, '')));
  setDraft(maps.pastedTablePlace(id), text);
  setUi({ view: 'maps', openMapId: id });
  notify({
    tone: 'done',
    text: `'${file.name}' holds a table of ${kind === 'turbine' ? 'a turbine sheet' : 'speed lines'}. Look at what was read of it, and take it over.`,
    details: [],
  });
  return true;
}

/** Opens the Log view, where the file is read away from the page's thread; it joins the build when it could be read. */
function takeLog(store: LuglineStore, file: File): void {
  const state = store.getState();
  const build = selectActiveBuild(state);
  const candidate = build.candidates[selectShownCandidate(state) ?? 0];
  const record = draftOfFile(createId(), file.name, new Date().toISOString(), candidate?.id ?? '');
  state.setUi({ view: 'log' });
  state.openLog({ record, bytes: file, isNew: true });
}

function takeMap(store: LuglineStore, map: MapDraft, notes: readonly Problem[]): void {
  const before = store.getState().workspace;
  store.getState().run(importMap(map, createId()));
  const { workspace } = store.getState();
  const addedId = workspace.shelfOrder.find((id) => before.shelf[id] === undefined);
  const hereId = workspace.shelfOrder.find((id) => sameContent({ ...workspace.shelf[id], id: map.id }, map));
  const openMapId = addedId ?? hereId ?? null;
  store.getState().setUi({ view: 'maps', openMapId });
  const name = (openMapId === null ? undefined : workspace.shelf[openMapId]?.name) ?? map.name;
  const text =
    addedId === undefined ? `The map '${name}' is on the shelf already.` : `The map '${name}' is on the shelf.`;
  store.getState().notify({ tone: 'done', text, details: lines(notes) });
}

function takeBuild(store: LuglineStore, build: Build, notes: readonly Problem[]): void {
  const before = store.getState().workspace;
  store.getState().run(importBuild(build, createId()));
  store.getState().setUi({ view: 'match' });
  const { name, id } = selectActiveBuild(store.getState());
  const text =
    before.builds[id] === undefined
      ? `The build '${name}' is open.`
      : `The build '${name}' was here already; it is open.`;
  store.getState().notify({ tone: 'done', text, details: lines(notes) });
}

function previewRestore(store: LuglineStore, fileName: string, backup: Backup, notes: readonly Problem[]): void {
  const counts = countRestore(store.getState().workspace, backup);
  const pendingRestore = { fileName, savedAt: backup.savedAt, counts, passedOver: lines(notes) };
  store.getState().setUi({ pendingRestore });
}

function restore(store: LuglineStore, backup: Backup): void {
  const counts = countRestore(store.getState().workspace, backup);
  store.getState().run(restoreBackup(backup, createId()));
  store.getState().setUi({ pendingRestore: null });
  const text = `Restored: ${counts.builds} builds and ${counts.maps} maps were added. Undo takes them away again.`;
  store.getState().notify({ tone: 'done', text, details: [] });
}

async function saveMap(store: LuglineStore, mapId: string): Promise<void> {
  const map = selectMap(store.getState(), mapId);
  if (map === null) return;
  const made = draftToMapFile(map);
  if (made.ok) {
    const whole = await withPicture(made.value, map, store.getState().pictures);
    const file = mapFileToSave(whole);
    downloadFile(file);
    const text = `Saved as '${file.name}'.${whole.picture === undefined ? '' : ' The picture is in it.'}`;
    store.getState().notify({ tone: 'done', text, details: [] });
  } else {
    const text = `The map '${map.name}' cannot be saved as a map file yet; build files and backups keep it as it is.`;
    store.getState().notify({ tone: 'trouble', text, details: lines(made.problems) });
  }
}

/** Says of a file that it was not taken, and why. */
export function refuse(store: LuglineStore, fileName: string, problems: readonly Problem[]): void {
  const text = `'${fileName}' was not opened; nothing is changed.`;
  store.getState().notify({ tone: 'trouble', text, details: lines(problems) });
}

function lines(problems: readonly Problem[]): string[] {
  return problems.map(({ path, message }) => (path === '' ? message : `${path}: ${message}`));
}
