import type { RestoreCounts } from '../build/index.ts';

/** What is looked at: no part of the document, no step of undo. Only the unread field texts outlive the page. */
export interface UiState {
  view: 'match' | 'altitude' | 'maps' | 'sheet';
  /** Engine speed that the pointer or the keyboard rests on, rev/min. */
  pointerEngineSpeedRpm: number | null;
  /** Altitude that the pointer or the keyboard rests on, m. */
  pointerAltitudeM: number | null;
  /** The map open in the Maps view. */
  openMapId: string | null;
  /** How the Match view shows the candidates. */
  matchLayout: 'one' | 'side-by-side' | 'overlay';
  /** What stands below the map there: the numbers, or the charts of the turbine. */
  matchBelow: 'numbers' | 'turbine';
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
}

export interface PendingRestore {
  fileName: string;
  /** When the backup was written, ISO 8601; null when it does not say. */
  savedAt: string | null;
  counts: RestoreCounts;
  /** What in the backup could not be read. */
  passedOver: readonly string[];
}

export const initialUi: UiState = {
  view: 'match',
  pointerEngineSpeedRpm: null,
  pointerAltitudeM: null,
  openMapId: null,
  matchLayout: 'one',
  matchBelow: 'numbers',
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
  lastFileSavedAt: null,
  keptFileName: null,
  keptFileNeedsPermission: false,
  problem: null,
};
