import { useState } from 'react';
import { type StorageStatus, useLugline } from '../store/index.ts';
import { Button, Dialog } from '../widgets/index.ts';
import styles from './app.module.css';
import type { FileActions } from './fileActions.ts';
import { momentWords } from './momentWords.ts';
import { type StorageSign, storageFacts, storageSign } from './storageWords.ts';

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
      {isOpen && <StorageDialog files={files} onClose={() => setOpen(false)} />}
    </>
  );
}

function sign(status: StorageStatus): StorageSign {
  const now = Date.now();
  return storageSign(status, now, (time) => momentWords(time, now));
}

function StorageDialog({ files, onClose }: { files: FileActions; onClose: () => void }) {
  const status = useLugline((state) => state.storage);
  const { keptFileName, keptFileNeedsPermission } = status;
  const now = Date.now();
  const facts = storageFacts(status, now, (time) => momentWords(time, now));
  return (
    <Dialog
      title="Your data"
      onClose={onClose}
      actions={
        <>
          <Button onPress={files.open}>Open a file…</Button>
          <Button variant="primary" onPress={files.saveBackup}>
            Save a backup of everything
          </Button>
        </>
      }
    >
      <dl className={styles.facts}>
        {facts.map(({ term, words }) => (
          <div key={term} className={styles.fact}>
            <dt>{term}</dt>
            <dd>{words}</dd>
          </div>
        ))}
      </dl>
      <div className={styles.actions}>
        {keptFileNeedsPermission && <Button onPress={files.allowKeptFile}>Write the kept file again</Button>}
        {files.keepFile !== null && keptFileName === null && (
          <Button onPress={files.keepFile}>Keep a backup file up to date…</Button>
        )}
        {keptFileName !== null && <Button onPress={files.forgetKeptFile}>Stop writing “{keptFileName}”</Button>}
      </div>
    </Dialog>
  );
}
