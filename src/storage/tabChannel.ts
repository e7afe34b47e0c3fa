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
