/** How the windows of one browser tell each other that one of them has saved. */
export interface TabChannel {
  saved(revision: number): void;
  close(): void;
}

/** Calls `onSaved` when another window has saved. Silent where the browser has no BroadcastChannel: saving notices by itself then. */
export function openTabChannel(name: string, onSaved: (revision: number) => void): TabChannel {
  if (typeof BroadcastChannel === 'undefined') return { saved: () => undefined, close: () => undefined };
  const channel = new BroadcastChannel(name);
  channel.onmessage = (event: MessageEvent<unknown>) => {
    const message = event.data as { kind?: unknown; revision?: unknown } | null;
    if (message?.kind === 'saved' && typeof message.revision === 'number') onSaved(message.revision);
  };
  return {
    saved: (revision) => channel.postMessage({ kind: 'saved', revision }),
    close: () => channel.close(),
  };
}

/**
 * Whether the browser has promised not to purge the page's data by itself; with 'ask' it is asked for that promise (some browsers
 * put the question to the user then). null where the browser does not say.
 */
export async function requestPersistence(how: 'ask' | 'ask-nothing'): Promise<boolean | null> {
  const storage = typeof navigator === 'undefined' ? undefined : navigator.storage;
  try {
    if (typeof storage?.persisted !== 'function') return null;
    if (await storage.persisted()) return true;
    return how === 'ask' && typeof storage.persist === 'function' ? await storage.persist() : false;
  } catch {
    return null;
  }
}

/** Opening a transaction takes milliseconds: it waits so long for a gap between two frames, no longer. */
const IDLE_WAIT_MS = 100;

/** Does the work when no frame is due, or soon anyway. */
export function whenIdle(work: () => void): void {
  if ('requestIdleCallback' in globalThis) requestIdleCallback(work, { timeout: IDLE_WAIT_MS });
  else work();
}
