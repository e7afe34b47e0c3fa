import { useEffect, useState, useSyncExternalStore } from 'react';
import { Button, cx, Icon, IconButton, type IconName } from './Button.tsx';
import styles from './toast.module.css';

interface Toast {
  id: number;
  text: string;
  tone: 'note' | 'good' | 'caution' | 'stop';
  /** 'Undo', with what it does. */
  action?: { name: string; run: () => void } | undefined;
}

type ToastInput = Omit<Toast, 'id' | 'tone'> & { tone?: Toast['tone'] };

interface Toaster {
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

/** Ten seconds to read, twenty where there is something to press; what went wrong stays until it is dismissed. */
const STAY_MS = 10_000;
const STAY_WITH_ACTION_MS = 20_000;

const ICONS: Readonly<Record<Toast['tone'], IconName>> = {
  note: 'note',
  good: 'check',
  caution: 'caution',
  stop: 'stop',
};

/** Where short messages stand, read out politely. Time stops while the pointer or the keyboard is on them. */
export function ToastRegion({ toaster }: { toaster: Toaster }) {
  const toasts = useSyncExternalStore(toaster.subscribe, toaster.read);
  const [isHeld, setHeld] = useState(false);
  const empty = toasts.length === 0;
  useEffect(() => {
    // A message that goes while it is pointed at takes the leaving event with it.
    if (empty) setHeld(false);
  }, [empty]);
  return (
    <section
      className={styles.region}
      aria-label="Messages"
      aria-live="polite"
      aria-relevant="additions"
      onPointerEnter={() => setHeld(true)}
      onPointerLeave={() => setHeld(false)}
      onFocus={() => setHeld(true)}
      onBlur={() => setHeld(false)}
    >
      {toasts.map((toast) => (
        <ToastLine key={toast.id} toast={toast} isHeld={isHeld} onDismiss={() => toaster.dismiss(toast.id)} />
      ))}
    </section>
  );
}

function ToastLine({ toast, isHeld, onDismiss }: { toast: Toast; isHeld: boolean; onDismiss: () => void }) {
  useExpiry(toast, isHeld, onDismiss);
  return (
    <div className={cx(styles.toast, styles[toast.tone])}>
      <Icon name={ICONS[toast.tone]} className={styles.icon} />
      <p className={styles.text}>{toast.text}</p>
      {toast.action && (
        <Button
          onPress={() => {
            toast.action?.run();
            onDismiss();
          }}
        >
          {toast.action.name}
        </Button>
      )}
      <IconButton icon="cross" label="Dismiss" onPress={onDismiss} />
    </div>
  );
}

function useExpiry(toast: Toast, isHeld: boolean, onDismiss: () => void) {
  const [dismiss] = useState(() => ({ newest: onDismiss }));
  useEffect(() => {
    dismiss.newest = onDismiss;
  });
  const stay = toast.tone === 'stop' ? null : toast.action ? STAY_WITH_ACTION_MS : STAY_MS;
  useEffect(() => {
    if (stay === null || isHeld) return;
    const timer = setTimeout(() => dismiss.newest(), stay);
    return () => clearTimeout(timer);
  }, [stay, isHeld, dismiss]);
}
