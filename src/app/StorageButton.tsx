import { useState } from 'react';
import { Button as AriaButton } from 'react-aria-components/Button';
import { Dialog, DialogTrigger } from 'react-aria-components/Dialog';
import { Heading } from 'react-aria-components/Heading';
import { Popover } from 'react-aria-components/Popover';
import { useLugline } from '../store/index.ts';
import { Button } from '../widgets/index.ts';
import styles from './app.module.css';
import type { FileActions } from './fileActions.ts';
import { momentWords } from './momentWords.ts';
import { storageWords } from './storageWords.ts';

/** Says in the header whether the data is safe; opened, where it lives, when it was last saved, and what to do about it. */
export function StorageButton({ files }: { files: FileActions }) {
  const status = useLugline((state) => state.storage);
  const [now, setNow] = useState(Date.now);
  const words = storageWords(status, now, (time) => momentWords(time, now));
  return (
    <DialogTrigger onOpenChange={() => setNow(Date.now())}>
      <AriaButton
        className={`${styles.quiet} ${styles.status}`}
        data-tone={words.tone}
        aria-label={`Storage: ${words.short}`}
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
        <span className={words.tone === 'calm' ? styles.long : undefined}>{words.short}</span>
      </AriaButton>
      <Popover className={styles.popover!} placement="bottom end" offset={2}>
        <Dialog className={styles.panelDialog!}>
          <Heading slot="title" level={2}>
            Your data
          </Heading>
          <dl className={styles.facts}>
            {words.facts.map(({ term, words: said }) => (
              <div key={term} className={styles.fact}>
                <dt>{term}</dt>
                <dd>{said}</dd>
              </div>
            ))}
          </dl>
          <div className={styles.actions}>
            <Button variant="primary" onPress={files.saveBackup}>
              Save a backup of everything
            </Button>
            <Button onPress={files.open}>Open a file…</Button>
            {status.keptFileNeedsPermission && <Button onPress={files.allowKeptFile}>Write the kept file again</Button>}
            {files.keepFile !== null && status.keptFileName === null && (
              <Button onPress={files.keepFile}>Keep a file up to date…</Button>
            )}
            {status.keptFileName !== null && (
              <Button variant="quiet" onPress={files.forgetKeptFile}>
                Stop writing the file
              </Button>
            )}
          </div>
        </Dialog>
      </Popover>
    </DialogTrigger>
  );
}
