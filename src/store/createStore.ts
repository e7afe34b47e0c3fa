import { createStore, type StoreApi } from 'zustand/vanilla';
import { type Change, type MapFitter, mapFitter, type Workspace } from '../build/index.ts';
import { emptyHistory, type History, redoStep, runChange, undoStep } from './history.ts';
import { initialStorage, initialUi, type StorageStatus, type UiState } from './uiState.ts';

export interface LuglineState {
  workspace: Workspace;
  history: History;
  ui: UiState;
  storage: StorageStatus;
  /** What fits maps; another one only in tests. */
  fitter: MapFitter;
  /** Runs a command. With a mergeKey it joins the step before it that has the same key and is less than a second old. */
  run(change: Change, mergeKey?: string): void;
  undo(): void;
  redo(): void;
  setUi(changed: Partial<UiState>): void;
  /** Keeps the unread text of a field; null when the field can be read again. */
  setDraft(place: string, text: string | null): void;
  setStorage(changed: Partial<StorageStatus>): void;
  /** Takes a workspace from storage in place of the present one. The steps of undo belong to the old one and go with it. */
  adopt(workspace: Workspace, drafts?: Readonly<Record<string, string>>): void;
}

export type LuglineStore = StoreApi<LuglineState>;

export interface StoreOptions {
  now?: () => number;
  fitter?: MapFitter;
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
    fitter: options.fitter ?? mapFitter,
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
    adopt(adopted, drafts) {
      const { ui } = get();
      set({ workspace: adopted, history: emptyHistory, ui: drafts === undefined ? ui : { ...ui, drafts } });
    },
  }));
}
