import { type Build, type LogRecord, logsOf, sameContent } from '../../build/index.ts';
import type { SolvedSamples } from '../../match/index.ts';
import {
  type AltitudeStudy,
  isSameStudy,
  type LogStudy,
  type LuglineState,
  type LuglineStore,
  type SpreadStudy,
  type StudiesState,
  type StudySlot,
  selectActiveBuild,
  selectShownCandidate,
  type TableStudy,
  type UiState,
} from '../../store/index.ts';

/** A study of a build; the build goes to the worker as it stands: plain data, maps included. */
export type WantedStudy =
  | { kind: 'altitude'; build: Build }
  | { kind: 'spread' | 'table'; build: Build; candidateIndex: number }
  | {
      kind: 'log';
      build: Build;
      candidateIndex: number;
      record: LogRecord;
      bytes: Blob | null;
      against: LogRecord | null;
    };

/** What the page asks of the worker. Of another worker a worker asks for samples of a spread; `build` null: of the same as before. */
export type StudyRequest = (
  | WantedStudy
  | { kind: 'samples'; build: Build | null; candidateIndex: number; from: number; to: number }
) & { id: number };

/** What the worker answers; results come without the build, which the page has. */
export type StudyAnswer =
  | { id: number; kind: 'altitude'; result: Omit<AltitudeStudy, 'build'> }
  | { id: number; kind: 'spread'; result: Omit<SpreadStudy, 'build'> }
  | { id: number; kind: 'table'; result: Omit<TableStudy, 'build'> }
  | { id: number; kind: 'log'; result: Omit<LogStudy, 'build'> }
  | { id: number; kind: 'samples'; result: SolvedSamples }
  | { id: number; kind: 'progress'; share: number }
  | { id: number; kind: 'failed'; message: string };

/** What a keeper needs of a worker; tests give one of their own. */
export interface StudyWorker {
  postMessage(request: StudyRequest): void;
  terminate(): void;
  onmessage: ((event: MessageEvent<StudyAnswer>) => void) | null;
  onerror: ((event: ErrorEvent) => void) | null;
}

/** What a study is of. */
export interface StudyOf {
  build: Build;
  candidateIndex?: number;
  record?: LogRecord;
  /** null: of no other log. */
  against?: LogRecord | null;
}

/** One kind of study. */
export interface StudyKind {
  key: WantedStudy['kind'];
  /** null: nothing is wanted at this state of the program. */
  wanted(state: LuglineState): WantedStudy | null;
  isSame(a: StudyOf, b: StudyOf): boolean;
  /** Inputs that changed end a running study at once; else it is finished first, and states between are passed over. */
  interrupts: boolean;
  /** Inputs must rest so long before a study is begun anew. */
  settleMs: number;
}

const FAILED = 'This could not be computed in this browser. Everything else works on. Reload the page and try again.';

/** Keeps one kind of study up with the document, in a worker of its own: a long one does not hold up another. */
export class StudyKeeper {
  private worker: StudyWorker | null = null;
  private asked: WantedStudy | null = null;
  private failed: WantedStudy | null = null;
  private timer: ReturnType<typeof setTimeout> | null = null;
  private id = 0;
  private readonly unsubscribe: () => void;

  constructor(
    private readonly store: LuglineStore,
    private readonly start: () => StudyWorker,
    private readonly kind: StudyKind,
  ) {
    this.unsubscribe = store.subscribe(() => this.follow());
    this.follow();
  }

  private get slot(): StudySlot<AltitudeStudy | SpreadStudy | TableStudy | LogStudy> {
    return this.store.getState().studies[this.kind.key];
  }

  /** Has the worker there before it is asked for anything: a network that is gone later takes nothing away. */
  warm(): void {
    try {
      this.worker ??= this.started();
    } catch {
      // It is tried again, and said, when something is asked for.
    }
  }

  close(): void {
    this.unsubscribe();
    this.stop();
    this.worker?.terminate();
    this.worker = null;
  }

  private follow(): void {
    const { kind } = this;
    const state = this.store.getState();
    const wanted = kind.wanted(state);
    if (wanted === null) {
      this.failed = null;
      this.rest();
      return;
    }
    if (this.isOf(this.asked, wanted)) return;
    if (this.asked !== null && !kind.interrupts) return;
    if (this.isOf(this.slot.result, wanted)) {
      this.rest();
      return;
    }
    if (!this.isOf(this.failed, wanted)) this.ask(wanted);
  }

  private isOf(study: StudyOf | null, wanted: WantedStudy): boolean {
    return study !== null && this.kind.isSame(study, wanted);
  }

  private ask(wanted: WantedStudy): void {
    const isAnew = this.asked !== null || this.slot.result !== null;
    this.stop();
    this.asked = wanted;
    this.failed = null;
    const wait = isAnew ? this.kind.settleMs : 0;
    if (wait === 0) this.post(wanted);
    else this.timer = setTimeout(() => this.post(wanted), wait);
    this.set({ running: true, progress: null, problem: null });
  }

  private post(wanted: WantedStudy): void {
    this.timer = null;
    this.id += 1;
    try {
      this.worker ??= this.started();
      this.worker.postMessage({ ...wanted, id: this.id });
    } catch {
      this.fail(FAILED);
    }
  }

  private started(): StudyWorker {
    const worker = this.start();
    worker.onmessage = ({ data }) => this.answered(data);
    worker.onerror = () => this.broken();
    return worker;
  }

  private answered(answer: StudyAnswer): void {
    const { asked } = this;
    if (asked === null || answer.id !== this.id) return;
    if (answer.kind === 'failed') this.fail(answer.message);
    else if (answer.kind === 'progress') this.set({ progress: answer.share });
    else if (answer.kind === asked.kind) {
      this.asked = null;
      this.set({ result: { ...answer.result, build: asked.build }, running: false, progress: null });
      this.follow();
    }
  }

  private fail(problem: string): void {
    this.failed = this.asked;
    this.stop();
    this.set({ running: false, progress: null, problem });
  }

  /** A worker that could not be fetched or broke down is not used again. */
  private broken(): void {
    this.worker?.terminate();
    this.worker = null;
    if (this.asked !== null) this.fail(FAILED);
  }

  /** Ends what is going on. Ending the worker itself is the one way that stops a computation at once. */
  private stop(): void {
    if (this.timer !== null) clearTimeout(this.timer);
    else if (this.asked !== null) {
      this.worker?.terminate();
      this.worker = null;
    }
    this.timer = null;
    this.asked = null;
  }

  private rest(): void {
    const wasBusy = this.asked !== null;
    this.stop();
    if (wasBusy || this.slot.problem !== null) {
      this.set({ running: false, progress: null, problem: null });
    }
  }

  private set(changed: Partial<StudySlot<unknown>>): void {
    const slots = { [this.kind.key]: { ...this.slot, ...changed } };
    this.store.getState().setStudies(slots as Partial<StudiesState>);
  }
}

/** Keeps the studies up with the document, in module workers. */
export function keepStudies(store: LuglineStore): RunningStudies {
  return runStudies(store, () => new Worker(new URL('./study.worker.ts', import.meta.url), { type: 'module' }));
}

const SHOWN_IN: ReadonlySet<UiState['view']> = new Set(['altitude', 'sheet']);

/** Two candidates held against each other show one row of the study. */
function isComparing({ ui, workspace }: LuglineState): boolean {
  return ui.view === 'match' && (workspace.settings.matchDrawer === 'differences' || ui.isCounter);
}

/**
 * The altitudes: computed while a view that shows them is open, the newest state of the build as soon as the worker is free. Beside a
 * comparison they wait until the inputs rest: taking over so large a result costs the page a good part of a frame.
 */
const altitudes = (rested: () => Build | null): StudyKind => ({
  key: 'altitude',
  wanted: (state) => {
    const build = selectActiveBuild(state);
    if (SHOWN_IN.has(state.ui.view)) return { kind: 'altitude', build };
    return isComparing(state) ? { kind: 'altitude', build: rested() ?? build } : null;
  },
  isSame: (a, b) => isSameStudy('altitude', a.build, b.build),
  interrupts: false,
  settleMs: 0,
});

/** The spread: computed once it is asked for, and anew when the inputs have changed and rest, until it is cancelled. */
const spread: StudyKind = {
  key: 'spread',
  wanted: (state) => {
    const candidateIndex = selectShownCandidate(state);
    if (!state.studies.spreadWanted || candidateIndex === null) return null;
    return { kind: 'spread', build: selectActiveBuild(state), candidateIndex };
  },
  isSame: (a, b) => a.candidateIndex === b.candidateIndex && isSameStudy('spread', a.build, b.build),
  interrupts: true,
  settleMs: 250,
};

/** The table for the control unit: in its view until it is cancelled, and where the sheet prints it. */
const table: StudyKind = {
  key: 'table',
  wanted: (state) => {
    const { ui, studies } = state;
    const build = selectActiveBuild(state);
    const candidateIndex = selectShownCandidate(state);
    const isInView = ui.view === 'altitude' && ui.altitudePlace === 'table' && studies.tableWanted;
    const isOnSheet = ui.view === 'sheet' && build.sheet.controlTable;
    return (isInView || isOnSheet) && candidateIndex !== null ? { kind: 'table', build, candidateIndex } : null;
  },
  isSame: (a, b) => a.candidateIndex === b.candidateIndex && isSameStudy('table', a.build, b.build),
  interrupts: true,
  settleMs: 250,
};

/** Views that show what a road log says. */
export const LOG_VIEWS: ReadonlySet<UiState['view']> = new Set(['log', 'altitude', 'sheet']);

/** The log that is open: read anew when what was decided about it changes, and held against the build as it stands. */
const log: StudyKind = {
  key: 'log',
  wanted: (state) => {
    const { openedLog } = state;
    const build = selectActiveBuild(state);
    if (openedLog === null || !LOG_VIEWS.has(state.ui.view)) return null;
    const record = openedLog.isNew ? openedLog.record : logsOf(build).find(({ id }) => id === openedLog.record.id);
    if (record === undefined) return null;
    const candidateIndex = build.candidates.findIndex(({ id }) => id === record.candidateId);
    const other = logsOf(build).find(({ id }) => id === state.ui.driftLogId);
    const against = other?.id === record.id || other?.candidateId !== record.candidateId ? null : (other ?? null);
    return { kind: 'log', build, candidateIndex: Math.max(candidateIndex, 0), record, bytes: openedLog.bytes, against };
  },
  isSame: (a, b) =>
    a.candidateIndex === b.candidateIndex &&
    isSameLogRecord(a.record, b.record) &&
    isSameLogRecord(a.against ?? undefined, b.against ?? undefined) &&
    isSameStudy('log', a.build, b.build),
  interrupts: false,
  settleMs: 0,
};

/** The kept rows follow from the rest. */
function isSameLogRecord(a: LogRecord | undefined, b: LogRecord | undefined): boolean {
  if (a === undefined || b === undefined || a.id !== b.id) return a === b;
  return sameContent(decided(a), decided(b));
}

const decided = ({ hints, shaftSpeedFactor, manifoldZeroPa, usePulls }: LogRecord) => ({
  hints,
  shaftSpeedFactor,
  manifoldZeroPa,
  usePulls,
});

const REST_MS = 350;

/** The open build as it was when the inputs last rested; null until they first do. The store is told when they do. */
function watchRest(store: LuglineStore): { build: () => Build | null; close: () => void } {
  let rested: Build | null = null;
  let newest: Build | null = null;
  let timer: ReturnType<typeof setTimeout> | undefined;
  const follow = (state: LuglineState) => {
    const build = selectActiveBuild(state);
    if (build === newest) return;
    // Another build that is opened has not been typed in.
    if (build.id !== newest?.id) rested = build;
    newest = build;
    clearTimeout(timer);
    timer = setTimeout(() => {
      if (rested === build) return;
      rested = build;
      if (isComparing(store.getState())) store.getState().setStudies({});
    }, REST_MS);
  };
  follow(store.getState());
  const unsubscribe = store.subscribe(follow);
  return {
    build: () => rested,
    close: () => {
      clearTimeout(timer);
      unsubscribe();
    },
  };
}

export interface RunningStudies {
  /** Fetches the worker when the page has nothing else to do. */
  warm(): void;
  close(): void;
}

/** Keeps the studies up with the document, until it is closed. */
export function runStudies(store: LuglineStore, start: () => StudyWorker): RunningStudies {
  const rest = watchRest(store);
  const keepers = [
    new StudyKeeper(store, start, altitudes(rest.build)),
    new StudyKeeper(store, start, spread),
    new StudyKeeper(store, start, table),
    new StudyKeeper(store, start, log),
  ];
  return {
    warm: () => keepers[0]?.warm(),
    close: () => {
      rest.close();
      for (const keeper of keepers) keeper.close();
    },
  };
}
