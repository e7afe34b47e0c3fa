import type { Build } from '../../build/index.ts';
import type { AltitudeStudy, LuglineState, LuglineStore, SpreadStudy, StudySlot } from '../../store/index.ts';

/** What the page asks of the worker. The build goes as it stands: plain data, maps included. */
export type StudyRequest =
  | { id: number; kind: 'altitude'; build: Build }
  | { id: number; kind: 'spread'; build: Build; candidateIndex: number };

/** What the worker answers; results come without the build, which the page has. */
export type StudyAnswer =
  | { id: number; kind: 'altitude'; result: Omit<AltitudeStudy, 'build'> }
  | { id: number; kind: 'spread'; result: Omit<SpreadStudy, 'build'> }
  | { id: number; kind: 'progress'; share: number }
  | { id: number; kind: 'failed'; message: string };

/** What a keeper needs of a worker; tests give one of their own. */
export interface StudyWorker {
  postMessage(request: StudyRequest): void;
  terminate(): void;
  onmessage: ((event: MessageEvent<StudyAnswer>) => void) | null;
  onerror: ((event: ErrorEvent) => void) | null;
}

export type StartWorker = () => StudyWorker;

/** One kind of study: what is wanted at a state of the program (W), and where its result goes. */
export interface StudyKind<W> {
  /** null: nothing is wanted now. */
  wanted(state: LuglineState): W | null;
  isSame(a: W, b: W): boolean;
  /** What the newest result is of. */
  known(state: LuglineState): W | null;
  request(id: number, wanted: W): StudyRequest;
  slot(state: LuglineState): StudySlot<unknown>;
  /** The slot's change when an answer came. */
  take(answer: StudyAnswer, of: W): Partial<StudySlot<unknown>> | null;
  put(store: LuglineStore, slot: StudySlot<unknown>): void;
  /** Inputs that changed end a running study at once; else it is finished first, and states between are passed over. */
  interrupts: boolean;
  /** Inputs must rest so long before a study is begun anew. */
  settleMs: number;
}

const FAILED = 'This could not be computed in this browser. Everything else works on. Reload the page and try again.';

/** Keeps one kind of study up with the document, in a worker of its own: a long one does not hold up another. */
export class StudyKeeper<W> {
  private worker: StudyWorker | null = null;
  private asked: W | null = null;
  private failed: W | null = null;
  private timer: ReturnType<typeof setTimeout> | null = null;
  private id = 0;
  private readonly unsubscribe: () => void;

  constructor(
    private readonly store: LuglineStore,
    private readonly start: StartWorker,
    private readonly kind: StudyKind<W>,
  ) {
    this.unsubscribe = store.subscribe(() => this.follow());
    this.follow();
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
    if (this.isOf(kind.known(state), wanted)) {
      this.rest();
      return;
    }
    if (!this.isOf(this.failed, wanted)) this.ask(wanted);
  }

  private isOf(study: W | null, wanted: W): boolean {
    return study !== null && this.kind.isSame(study, wanted);
  }

  private ask(wanted: W): void {
    const isAnew = this.asked !== null || this.kind.known(this.store.getState()) !== null;
    this.stop();
    this.asked = wanted;
    this.failed = null;
    const wait = isAnew ? this.kind.settleMs : 0;
    if (wait === 0) this.post(wanted);
    else this.timer = setTimeout(() => this.post(wanted), wait);
    this.set({ running: true, progress: null, problem: null });
  }

  private post(wanted: W): void {
    this.timer = null;
    this.id += 1;
    try {
      this.worker ??= this.started();
      this.worker.postMessage(this.kind.request(this.id, wanted));
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
    else this.done(this.kind.take(answer, asked));
  }

  private done(changed: Partial<StudySlot<unknown>> | null): void {
    if (changed === null) return;
    this.asked = null;
    this.set({ ...changed, running: false, progress: null });
    this.follow();
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
    if (wasBusy || this.kind.slot(this.store.getState()).problem !== null) {
      this.set({ running: false, progress: null, problem: null });
    }
  }

  private set(changed: Partial<StudySlot<unknown>>): void {
    this.kind.put(this.store, { ...this.kind.slot(this.store.getState()), ...changed });
  }
}
