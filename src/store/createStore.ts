import { createStore, type StoreApi } from 'zustand/vanilla';
import { type Change, type MapFitter, mapFitter, type Workspace } from '../build/index.ts';
import { createId } from './createId.ts';
import { emptyHistory, type History, redoStep, runChange, undoStep } from './history.ts';
import { memoryPictures, type PictureShelf } from './pictures.ts';
import { initialStudies, type StudiesState } from './studies.ts';
import { initialStorage, initialUi, type Notice, type StorageStatus, type UiState } from './uiState.ts';

export interface LuglineState {
  workspace: Workspace;
  history: History;
  ui: UiState;
  storage: StorageStatus;
  /** Heavy studies: computed away from the page's thread, put here by the shell. Derived, never saved. */
  studies: StudiesState;
  /** What fits maps; another one only in tests. */
  fitter: MapFitter;
  /** Pictures of sheets; the workspace holds only their ids. */
  pictures: PictureShelf;
  /** Runs a command. With a mergeKey it joins the step before it that has the same key and is less than a second old. */
  run(change: Change, mergeKey?: string): void;
  undo(): void;
  redo(): void;
  setUi(changed: Partial<UiState>): void;
  /** Keeps the unread text of a field; null when the field can be read again. */
  setDraft(place: string, text: string | null): void;
  setStorage(changed: Partial<StorageStatus>): void;
  setStudies(changed: Partial<StudiesState>): void;
  /** Shows a notice until it is dismissed. */
  notify(notice: Omit<Notice, 'id'>): void;
  dismiss(noticeId: string): void;
  /**
   * Takes a workspace from storage in place of the present one. The steps of undo belong to the old content and go with it, unless
   * `keepSteps` says that the content is the same.
   */
  adopt(workspace: Workspace, drafts: Readonly<Record<string, string>>, keepSteps?: boolean): void;
}

const MOST_NOTICES = 8;

export type LuglineStore = StoreApi<LuglineState>;

export interface StoreOptions {
  now?: () => number;
  fitter?: MapFitter;
  pictures?: PictureShelf;
  drafts?: Readonly<Record<string, string>>;
}

/** The one store of the program; runs without React and knows no storage. */
export function createLuglineStore(workspace: Workspace, options: StoreOptions = {}): LuglineStore {
  const now = options.now ?? Date.now;
  return createStore<LuglineState>()((set, get) => ({
    workspace,
    history: emptyHistory,
    ui: { ...initialUi, drafts: options.drafts ?? {} },
    storage: initialStorage,
    studies: initialStudies,
    fitter: options.fitter ?? mapFitter,
    pictures: options.pictures ?? memoryPictures(),
    run(change, mergeKey) {
      const { workspace: before, history } = get();
      const next = runChange(before, history, change, now(), mergeKey);
      if (next.workspace !== before) set(next);
    },
    undo() {
      const next = undoStep(get().workspace, get().history);
      if (next !== null) set(next);
    },
    redo() {
      const next = redoStep(get().workspace, get().history);
      if (next !== null) set(next);
    },
    setUi(changed) {
      set({ ui: { ...get().ui, ...changed } });
    },
    setDraft(place, text) {
      const { ui } = get();
      if (text === (ui.drafts[place] ?? null)) return;
      const { [place]: _old, ...others } = ui.drafts;
      set({ ui: { ...ui, drafts: text === null ? others : { ...others, [place]: text } } });
    },
    setStorage(changed) {
      set({ storage: { ...get().storage, ...changed } });
    },
    setStudies(changed) {
      set({ studies: { ...get().studies, ...changed } });
    },
    notify(notice) {
      const { ui } = get();
      set({ ui: { ...ui, notices: [...ui.notices, { ...notice, id: createId() }].slice(-MOST_NOTICES) } });
    },
    dismiss(noticeId) {
      const { ui } = get();
      set({ ui: { ...ui, notices: ui.notices.filter((notice) => notice.id !== noticeId) } });
    },
    adopt(adopted, drafts, keepSteps = false) {
      const { ui, history } = get();
      set({ workspace: adopted, history: keepSteps ? history : emptyHistory, ui: { ...ui, drafts } });
    },
  }));
}
