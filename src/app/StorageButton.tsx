import { Suspense, useState } from 'react';
import { type StorageStatus, useLugline } from '../store/index.ts';
import styles from './app.module.css';
import type { FileActions } from './fileActions.ts';
import { StorageDialog } from './lateDialogs.ts';
import { momentWords } from './momentWords.ts';
import { type StorageSign, storageSign } from './storageWords.ts';

/** Says in the header whether the data is safe; opened, where it lives, when it was last saved, and what to do about it. */
export function StorageButton({ files }: { files: FileActions }) {
  const [isOpen, setOpen] = useState(false);
  // The words, not the status: while every keystroke is being saved the header has nothing new to say and is not drawn again.
  const short = useLugline(({ storage }) => sign(storage).short);
  const tone = useLugline(({ storage }) => sign(storage).tone);
  return (
    <>
      <button
        type="button"
        className={`${styles.quiet} ${styles.status}`}
        data-tone={tone}
        aria-label={`Your data: ${short}`}
        title={short}
        onClick={() => setOpen(true)}
      >
        <svg
          className={styles.icon}
          viewBox="0 0 16 16"
          aria-hidden="true"
          fill="none"
          stroke="currentColor"
          strokeWidth="1.4"
        >
          <ellipse cx="8" cy="4" rx="5.500" ry="2" />
          <path d="M2.500 4v8c0 1.100 2.500 2 5.500 2s5.500-.9 5.500-2V4M2.500 8c0 1.100 2.500 2 5.500 2s5.500-.9 5.500-2" />
        </svg>
        <span className={tone === 'calm' ? styles.long : undefined}>{short}</span>
      </button>
      <Suspense fallback={null}>{isOpen && <StorageDialog files={files} onClose={() => setOpen(false)} />}</Suspense>
    </>
  );
}

function sign(status: StorageStatus): StorageSign {
  const now = Date.now();
  return storageSign(status, now, (time) => momentWords(time, now));
}
