import { useEffect, useState, useSyncExternalStore } from 'react';
import { Button } from './Button.tsx';
import { cx } from './cx.ts';
import { Icon, type IconName } from './Icon.tsx';
import { IconButton } from './IconButton.tsx';
import styles from './toast.module.css';
import type { Toast, Toaster } from './toaster.ts';

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
