import { errorName } from './database.ts';

/** Where the data lives and how safe it is. Times in ms since 1970. */
export interface KeeperStatus {
  /** 'memory': nothing is kept when the page closes; `problem` says why. */
  mode: 'stored' | 'memory';
  /** The browser's promise not to purge by itself; null: not known. */
  persisted: boolean | null;
  saving: boolean;
  lastSavedAt: number | null;
  /** Since when the browser has not answered; null: it is not kept waiting for. */
  waitingSince: number | null;
  problem: string | null;
}

export const GOES_ON =
  'What you see is kept in this page only. Lugline tries again by itself; to be safe, save a file now.';

/** What failed when saving, in plain words with what to do. */
export function savingProblem(error: unknown): string {
  const name = errorName(error);
  if (name === 'QuotaExceededError')
    return `The browser has no room left for this page: free space on the disk. ${GOES_ON}`;
  if (name === 'InvalidStateError' || name === 'AbortError') return `The browser closed the storage. ${GOES_ON}`;
  if (name === 'PartMissing') return `${PART_MISSING} ${GOES_ON}`;
  return `Saving in the browser failed. ${GOES_ON}`;
}

/** A part of the program that was needed could not be fetched. */
export class PartMissing extends Error {
  override readonly name = 'PartMissing';
}

/** Why nothing that is stored is shown, in plain words with what to do. */
export function readingProblem(error: unknown): string {
  return errorName(error) === 'PartMissing'
    ? `${PART_MISSING} What is stored is left as it is; what you enter now is kept beside it, and the page shows both then.`
    : 'What is stored in the browser cannot be read at all. It is left as it is; what you enter now is kept in this page only: save a file.';
}

const PART_MISSING =
  'A part of the program could not be fetched: the network is gone, or the page was replaced by a newer one. Reload the page when the network is back.';

export interface AdoptedNews {
  /** Names of what two windows had changed, and is now there twice. */
  keptBoth: readonly string[];
  /** False when only order or settings differ. */
  contentChanged: boolean;
  /** The store had been cleared while this page held work: that was written back. */
  writtenBack: boolean;
  /** Builds that another window deleted while a text that cannot be read yet stands in them here: they are kept. */
  keptForDrafts: readonly string[];
}

export const NO_NEWS: AdoptedNews = { keptBoth: [], contentChanged: false, writtenBack: false, keptForDrafts: [] };
