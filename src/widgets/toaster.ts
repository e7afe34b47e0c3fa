export interface Toast {
  id: number;
  text: string;
  tone: 'note' | 'good' | 'caution' | 'stop';
  /** 'Undo', with what it does. */
  action?: { name: string; run: () => void } | undefined;
}

export type ToastInput = Omit<Toast, 'id' | 'tone'> & { tone?: Toast['tone'] };

export interface Toaster {
  /** Adds a message and gives its id. At most three stand at a time; the oldest goes first, a stop last. */
  show: (toast: ToastInput) => number;
  dismiss: (id: number) => void;
  subscribe: (listener: () => void) => () => void;
  /** The same array until something changes. */
  read: () => readonly Toast[];
}

const MOST = 3;

/** Keeps the short messages of the page. Make one, hand it to ToastRegion, and call show from anywhere. */
export function createToaster(): Toaster {
  let toasts: readonly Toast[] = [];
  let lastId = 0;
  const listeners = new Set<() => void>();
  const set = (next: readonly Toast[]) => {
    toasts = next;
    for (const listener of listeners) listener();
  };
  const makeRoom = (all: readonly Toast[]): readonly Toast[] => {
    if (all.length <= MOST) return all;
    const goes = all.find((toast) => toast.tone !== 'stop') ?? all[0];
    return all.filter((toast) => toast !== goes);
  };
  return {
    show: ({ tone = 'note', ...rest }) => {
      lastId += 1;
      const toast = { ...rest, tone, id: lastId };
      // The same message again replaces the old one: its undo would no longer be the last thing done.
      set(makeRoom([...toasts.filter((other) => other.text !== toast.text), toast]));
      return toast.id;
    },
    dismiss: (id) => set(toasts.filter((toast) => toast.id !== id)),
    subscribe: (listener) => {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    read: () => toasts,
  };
}
