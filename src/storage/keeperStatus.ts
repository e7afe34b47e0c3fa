/** Where the data lives and how safe it is. Times in ms since 1970. */
export interface KeeperStatus {
  /** 'memory': nothing is kept when the page closes; `problem` says why. */
  mode: 'stored' | 'memory';
  /** The browser's promise not to purge by itself; null: not known. */
  persisted: boolean | null;
  saving: boolean;
  lastSavedAt: number | null;
  problem: string | null;
}

/** What failed when saving, in plain words with what to do. */
export function savingProblem(error: unknown): string {
  const name = error instanceof Error ? error.name : '';
  if (name === 'QuotaExceededError') {
    return 'The browser has no room left for this page. What you see is kept in memory only: save a backup file now, then free space.';
  }
  if (name === 'InvalidStateError' || name === 'AbortError') {
    return 'The browser closed the storage. What you see is kept in memory only: save a backup file, then reload the page.';
  }
  return 'Saving in the browser failed. What you see is kept in memory only: save a backup file now.';
}
