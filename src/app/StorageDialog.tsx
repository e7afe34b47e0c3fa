import { useLugline } from '../store/index.ts';
import { Button, Dialog } from '../widgets/index.ts';
import styles from './app.module.css';
import type { FileActions } from './fileActions.ts';
import { momentWords } from './momentWords.ts';
import { storageFacts } from './storageWords.ts';

/** Where the data lives, when it was last saved, and what to do about it. */
export function StorageDialog({ files, onClose }: { files: FileActions; onClose: () => void }) {
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
