import { Suspense, useState } from 'react';
import styles from './app.module.css';
import { HelpDialog } from './lateDialogs.ts';

/** Opens the in-app help. */
export function HelpButton() {
  const [isOpen, setOpen] = useState(false);
  return (
    <>
      <button type="button" className={styles.quiet} onClick={() => setOpen(true)}>
        Help
      </button>
      <Suspense fallback={null}>{isOpen && <HelpDialog onClose={() => setOpen(false)} />}</Suspense>
    </>
  );
}
