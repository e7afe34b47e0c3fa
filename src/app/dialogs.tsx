import { renameBuild } from '../build/index.ts';
import { useApply, useBuild, useFieldDraft, useLugline } from '../store/index.ts';
import { Button, ConfirmDialog, Dialog, FormDialog, Sentences, Terms, TextLine } from '../widgets/index.ts';
import styles from './app.module.css';
import type { FileActions } from './fileActions.ts';
import { restoreWords, storageFacts } from './storageFacts.ts';

/** Another name for the open build. */
export function RenameDialog({ onClose }: { onClose: () => void }) {
  const build = useBuild();
  const apply = useApply();
  const [typed, keep] = useFieldDraft(`${build.id}/name`);
  const name = typed ?? build.name;
  const isEmpty = name.trim() === '';
  const close = () => {
    keep(null);
    onClose();
  };
  const rename = () => {
    if (isEmpty) return;
    apply(renameBuild(build.id, name));
    close();
  };
  return (
    <FormDialog title="Rename this build" verb="Rename" isDisabled={isEmpty} onDone={rename} onClose={close}>
      <TextLine
        label="Name"
        value={name}
        stacked
        autoFocus
        error={isEmpty ? 'A build needs a name.' : null}
        onChange={keep}
      />
    </FormDialog>
  );
}

/** Asks before a backup is taken in, and says what it will add. Nothing here is replaced. */
export function RestoreDialog({ files }: { files: FileActions }) {
  const pending = useLugline((state) => state.ui.pendingRestore);
  if (pending === null) return null;
  const { sentences, passedOver } = restoreWords(pending);
  return (
    <ConfirmDialog
      title="Restore a backup"
      confirm="Restore"
      onConfirm={files.confirmRestore}
      onClose={files.cancelRestore}
    >
      <Sentences as="p" of={sentences} />
      <Sentences as="ul" of={passedOver} />
    </ConfirmDialog>
  );
}

/** Where the data lives, when it was last saved, and what to do about it. */
export function StorageDialog({ files, onClose }: { files: FileActions; onClose: () => void }) {
  const status = useLugline((state) => state.storage);
  const { keptFileName, keptFileNeedsPermission } = status;
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
      <Terms className={styles.facts} of={storageFacts(status)} />
      <div className="flex wrap gap-m above-m">
        {keptFileNeedsPermission && <Button onPress={files.allowKeptFile}>Write the kept file again</Button>}
        {files.keepFile !== null && keptFileName === null && (
          <Button onPress={files.keepFile}>Keep a backup file up to date…</Button>
        )}
        {keptFileName !== null && <Button onPress={files.forgetKeptFile}>Stop writing “{keptFileName}”</Button>}
      </div>
    </Dialog>
  );
}
