import type { TakenNotes } from './gate.ts';
import { leavingNoteKeys } from './leavingNote.ts';
import type { Snapshot, StoredState } from './load.ts';
import { PartMissing } from './status.ts';

export type Gate = typeof import('./gate.ts');

/** The gate is a late part, which the page fetches after its first picture at the latest. */
export const loadGate = (): Promise<Gate> => import('./gate.ts');

/** Where the gate is asked for: by whoever finds something that no seal vouches for. */
export class GateDoor {
  readonly #fetch: () => Promise<Gate>;
  #waiting = 0;

  /** `fetch` is called again after it has failed; browsers that remember a failed import need a reload, as `PartMissing` says. */
  constructor(fetch = loadGate) {
    this.#fetch = fetch;
  }

  /** Whether the part is being fetched: what takes its time then is not the browser's storage. */
  get isAwaited(): boolean {
    return this.#waiting > 0;
  }

  /** Throws `PartMissing` where the part cannot be fetched. */
  open = async (): Promise<Gate> => {
    this.#waiting += 1;
    try {
      return await this.#fetch();
    } catch {
      throw new PartMissing();
    } finally {
      this.#waiting -= 1;
    }
  };

  /** What leaving pages have put down, merged into what is stored; the gate is asked only where there is something. */
  async takeNotes(stored: StoredState | null, snapshot: Snapshot, freshId: () => string): Promise<TakenNotes> {
    if (leavingNoteKeys().length === 0) return { state: stored, keys: [], keptBoth: [], base: null, unreadable: [] };
    const { takeLeavingNotes } = await this.open();
    return takeLeavingNotes(stored, snapshot, freshId);
  }
}
