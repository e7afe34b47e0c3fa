import { createStore, type StoreApi } from 'zustand/vanilla';
import {
  type Build,
  type Change,
  type ControlTableSetup,
  type MapFitter,
  mapFitter,
  type RestoreCounts,
  type StudyPlaces,
  type Workspace,
} from '../build/index.ts';
import type {
  CalibrationTable,
  CeilingTable,
  ControllerComparison,
  ControlTable,
  HeldGoal,
  LeftByOpenGate,
  SpreadDone,
} from '../match/types.ts';
import { formatNumber } from '../units/index.ts';
import { LINE_PARTS } from './candidateResults.ts';
import { emptyHistory, type History, rebased, redoStep, runChange, undoStep } from './history.ts';
import { type ByteShelf, memoryShelf } from './pictures.ts';
import type { LogStudy, OpenedLog } from './roadLogs.ts';

/** An id that no other build, map or candidate has, on this machine or another: 80 random bits. */
export function createId(): string {
  const bytes = crypto.getRandomValues(new Uint8Array(10));
  return [...bytes].map((byte) => byte.toString(16).padStart(2, '0')).join('');
}

/** What is looked at: no part of the document, no step of undo. Only the unread field texts outlive the page. */
export interface UiState {
  view: 'match' | 'altitude' | 'maps' | 'log' | 'sheet';
  /** Engine speed that the pointer or the keyboard rests on, rev/min. */
  pointerEngineSpeedRpm: number | null;
  /** What the Altitude view shows: the study over altitude, or the table for the control unit. */
  altitudePlace: 'study' | 'table';
  /** Altitude that the pointer or the keyboard rests on, m. */
  pointerAltitudeM: number | null;
  /** The map open in the Maps view. */
  openMapId: string | null;
  /** The road log open in the Log view; null: the newest, '': none. */
  openLogId: string | null;
  /** The log that the open one is held against; null: none. */
  driftLogId: string | null;
  /** Parts of the Log view that are unfolded. */
  openLogParts: readonly string[];
  /** How the Match view shows the candidates. */
  matchLayout: 'one' | 'side-by-side' | 'overlay';
  /** Id of the candidate whose card is open. */
  openCardId: string | null;
  /** The section of the card that was asked for; null: its beginning. */
  openCardPart: 'turbine' | null;
  /** The Match view fills the screen for a customer at the counter. */
  isCounter: boolean;
  /** Texts in fields that cannot be read as a number yet, by the field's place: nothing typed is lost on reload. */
  drafts: Readonly<Record<string, string>>;
  /** What came of opening and saving, newest last; each stays until it is dismissed. */
  notices: readonly Notice[];
  /** A backup that was opened and waits for a yes. */
  pendingRestore: PendingRestore | null;
}

export interface Notice {
  id: string;
  /** 'done': it worked; 'trouble': it did not, and nothing was changed, or something needs doing. */
  tone: 'done' | 'trouble';
  /** One sentence. */
  text: string;
  /** The particulars, one each line: what is wrong where, or what was passed over. */
  details: readonly string[];
  /** Records in the browser that cannot be read: they can be saved as files. */
  unreadable?: readonly { name: string; index: number }[] | undefined;
  /** Units that are usual where the browser is, to be taken with one press. */
  offersUnits?: 'us' | undefined;
  /** A newer version of the program waits to be taken. */
  isUpdate?: boolean | undefined;
  /** Something may be lost: a button saves everything as a file. */
  offersFile?: boolean | undefined;
  /** What can be done about it with one press: 'Undo'. */
  action?: { name: string; run: () => void } | undefined;
}

export interface PendingRestore {
  fileName: string;
  /** When the backup was written, ISO 8601; null when it does not say. */
  savedAt: string | null;
  counts: RestoreCounts;
  /** What in the backup could not be read. */
  passedOver: readonly string[];
}

const initialUi: UiState = {
  view: 'match',
  altitudePlace: 'study',
  pointerEngineSpeedRpm: null,
  pointerAltitudeM: null,
  openMapId: null,
  openLogId: null,
  driftLogId: null,
  openLogParts: ['speeds'],
  matchLayout: 'one',
  openCardId: null,
  openCardPart: null,
  isCounter: false,
  drafts: {},
  notices: [],
  pendingRestore: null,
};

/** Where the data lives and how safe it is. Times in ms since 1970. */
export interface StorageStatus {
  /** 'memory': nothing is kept when the page closes; `problem` says why. */
  mode: 'stored' | 'memory';
  /** The browser's promise not to purge by itself; null: not known. */
  persisted: boolean | null;
  saving: boolean;
  lastSavedAt: number | null;
  /** Since when the browser has not answered; null: it is not waited for. */
  waitingSince: number | null;
  /** Last time that everything was written to a file. */
  lastFileSavedAt: number | null;
  /** The backup file that is written again by itself; null: none was chosen. */
  keptFileName: string | null;
  /** The kept file waits for a click that allows writing to it again. */
  keptFileNeedsPermission: boolean;
  /** In plain words; null: all is well. */
  problem: string | null;
}

export const initialStorage: StorageStatus = {
  mode: 'stored',
  persisted: null,
  saving: false,
  lastSavedAt: null,
  waitingSince: null,
  lastFileSavedAt: null,
  keptFileName: null,
  keptFileNeedsPermission: false,
  problem: null,
};

/** What is studied over altitude for one candidate. */
export interface CandidateStudy {
  /** Rows: the altitudes of the grid, then the saved places. */
  ceilings: CeilingTable;
  /** The same over an even, finer grid of altitudes. */
  field: CeilingTable;
  /** The build's own goal held, over the places of `field`. */
  held: HeldGoal;
  /** `lowestWithGateOpen` over the places of `field`; null where no size of a gate is known. */
  gateOpenPa: readonly (readonly LeftByOpenGate[])[] | null;
  /**
   * The target that the goal comes to where the car stands, held as gauge and as absolute pressure: the first place is that of the day,
   * the others are those of `field`.
   */
  controllers: ControllerComparison;
  /** null while step or blades cannot be read. */
  calibration: CalibrationTable | null;
}

/** Everything is of one state of the build, which is kept beside it: results of other inputs are never shown as those of these. */
export interface AltitudeStudy {
  build: Build;
  places: StudyPlaces;
  /** In the order of the candidates; null where the operating line has no input. */
  candidates: readonly (CandidateStudy | null)[];
}

export interface SpreadStudy {
  build: Build;
  candidateIndex: number;
  /** Of the place where the car stands. */
  ambientPressurePa: number;
  spread: SpreadDone;
}

/** The table for a control unit, of one candidate. */
export interface TableStudy {
  build: Build;
  candidateIndex: number;
  setup: ControlTableSetup;
  table: ControlTable;
}

/** One study: what is known, and what is going on. */
export interface StudySlot<T> {
  /** The newest that is done; of the present inputs or of earlier ones. */
  result: T | null;
  running: boolean;
  /** 0..1 where it is known. */
  progress: number | null;
  /** Why there is no result, in plain words. */
  problem: string | null;
}

export interface StudiesState {
  altitude: StudySlot<AltitudeStudy>;
  spread: StudySlot<SpreadStudy>;
  table: StudySlot<TableStudy>;
  log: StudySlot<LogStudy>;
  /** The table is computed while its view is open, until it is cancelled. */
  tableWanted: boolean;
  /** The spread is asked for; it is computed again when inputs change, until it is cancelled. */
  spreadWanted: boolean;
}

const idle = { result: null, running: false, progress: null, problem: null };
const initialStudies: StudiesState = {
  altitude: idle,
  spread: idle,
  table: idle,
  log: idle,
  tableWanted: true,
  spreadWanted: false,
};

/** The parts of a build beside its lines' that each study depends on: notes and name are not among them. */
const STUDY_PARTS = {
  altitude: ['candidates', 'altitudes', 'places', 'calibration'],
  spread: ['candidates', 'spread'],
  table: ['candidates', 'controlTable'],
  // Tolerances count, and what was decided about the log.
  log: ['candidates', 'spread'],
} as const;

/** Whether a study of one state of a build holds for another. */
export function isSameStudy(study: keyof typeof STUDY_PARTS, a: Build, b: Build): boolean {
  return a === b || (a.id === b.id && [...LINE_PARTS, ...STUDY_PARTS[study]].every((part) => a[part] === b[part]));
}

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
  pictures: ByteShelf;
  /** Raw bytes of road logs; the workspace holds their hashes. */
  logs: ByteShelf;
  /** The log that is read at the moment, with its bytes; one that is not in the build yet stays out of it until it can be read. */
  openedLog: OpenedLog | null;
  openLog(opened: OpenedLog | null): void;
  /** Runs a command. With a mergeKey it joins the step before it that has the same key and is less than a second old. */
  run(change: Change, mergeKey?: string): void;
  undo(): void;
  redo(): void;
  setUi(changed: Partial<UiState>): void;
  /** Keeps the unread text of a field; null when the field can be read again. */
  setDraft(place: string, text: string | null): void;
  setStorage(changed: Partial<StorageStatus>): void;
  setStudies(changed: Partial<StudiesState>): void;
  /** Shows a notice until it is dismissed. One with an id takes the place of the one before it that has the same. */
  notify(notice: Omit<Notice, 'id'> & { id?: string }): void;
  dismiss(noticeId: string): void;
  /**
   * Takes a workspace from storage in place of the present one. Steps of undo that touch what is different in it go, the others stay;
   * how many went is given back.
   */
  adopt(workspace: Workspace, drafts: Readonly<Record<string, string>>): number;
}

const MOST_NOTICES = 8;
/** Lines of one notice. */
const MOST_DETAILS = 20;

export type LuglineStore = StoreApi<LuglineState>;

interface StoreOptions extends Partial<Pick<LuglineState, 'fitter' | 'pictures' | 'logs'>> {
  now?: () => number;
  drafts?: UiState['drafts'];
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
    pictures: options.pictures ?? memoryShelf(),
    logs: options.logs ?? memoryShelf(),
    openedLog: null,
    openLog(openedLog) {
      set({ openedLog });
    },
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
      const id = notice.id ?? createId();
      // The same message again replaces the old one: its undo would no longer be of the last thing done.
      const others = ui.notices.filter((other) => other.id !== id && other.text !== notice.text);
      const details = notice.details.slice(0, MOST_DETAILS);
      const more = notice.details.length - details.length;
      if (more > 0) details.push(`And ${formatNumber(more, 0)} more.`);
      const all = [...others, { ...notice, details, id }];
      // What went wrong is the last to go.
      const goes = all.length > MOST_NOTICES ? (all.find(({ tone }) => tone === 'done') ?? all[0]) : undefined;
      set({ ui: { ...ui, notices: all.filter((one) => one !== goes) } });
    },
    dismiss(noticeId) {
      const { ui } = get();
      set({ ui: { ...ui, notices: ui.notices.filter((notice) => notice.id !== noticeId) } });
    },
    adopt(adopted, drafts) {
      const { ui, history: before, workspace: present } = get();
      const history = rebased(before, present, adopted);
      set({ workspace: adopted, history, ui: { ...ui, drafts } });
      return before.past.length + before.future.length - history.past.length - history.future.length;
    },
  }));
}
