import { renameBuild } from '../build/index.ts';
import {
  type PendingRestore,
  type StorageStatus,
  useApply,
  useBuild,
  useFieldDraft,
  useLugline,
} from '../store/index.ts';
import { counted } from '../units/index.ts';
import { Button, ConfirmDialog, Dialog, FormDialog, Sentences, Terms, TextLine } from '../widgets/index.ts';
import styles from './app.module.css';
import type { FileActions } from './fileActions.ts';
import { fileIsOld, momentAt } from './storageSign.ts';

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

/** Storage in full: terms, each with a plain sentence. */
export function storageFacts(
  status: StorageStatus,
  now = Date.now(),
  moment = momentAt(now),
): readonly { title: string; value: string }[] {
  const inMemory = status.mode === 'memory';
  return [
    {
      title: 'Where it lives',
      value: inMemory
        ? 'In this page only. It is gone when the page closes: save a file.'
        : 'In this browser, on this machine. Nothing is sent anywhere.',
    },
    ...(status.problem === null ? [] : [{ title: 'Trouble', value: status.problem }]),
    ...(status.waitingSince === null ? [] : [{ title: 'Waiting', value: waitingWords(status.waitingSince, moment) }]),
    ...(inMemory ? [] : [{ title: 'Last saved here', value: savedHereWords(status, moment) }]),
    { title: 'Last saved to a file', value: fileWords(status, fileIsOld(status, now), moment) },
    ...(inMemory ? [] : [{ title: 'Will it stay', value: persistenceWords(status.persisted) }]),
  ];
}

function waitingWords(since: number, moment: (time: number) => string): string {
  return `The browser has not answered since ${moment(since)}; another window may hold the storage. What you enter stays in this page until it does.`;
}

function savedHereWords(status: StorageStatus, moment: (time: number) => string): string {
  if (status.saving) return 'Saving now';
  return status.lastSavedAt === null ? 'Nothing was changed yet' : moment(status.lastSavedAt);
}

function fileWords(status: StorageStatus, isOld: boolean, moment: (time: number) => string): string {
  const kept =
    status.keptFileName === null
      ? ''
      : status.keptFileNeedsPermission
        ? ` “${status.keptFileName}” waits for your leave to be written again.`
        : ` “${status.keptFileName}” is written again after every change.`;
  if (status.lastFileSavedAt === null) return `Never, as far as this browser knows.${kept}`;
  const when = moment(status.lastFileSavedAt);
  const said =
    status.keptFileName === null ? `Handed to the browser’s downloads ${when}; look there that it arrived` : when;
  return `${said}.${isOld ? ' That is more than a week ago.' : ''}${kept}`;
}

function persistenceWords(persisted: boolean | null): string {
  if (persisted === true) return 'The browser has promised not to clear it by itself.';
  if (persisted === false) {
    return 'No promise: the browser may clear it when space is short or after days without use, and a private window does when it closes. Keep a file.';
  }
  return 'This browser does not say. Keep a file.';
}

/** What a waiting backup holds and what taking it in will do, in sentences. */
export function restoreWords(
  pending: PendingRestore,
  now = Date.now(),
): { sentences: readonly string[]; passedOver: readonly string[] } {
  const { fileName, savedAt, counts, passedOver } = pending;
  const time = savedAt === null ? Number.NaN : Date.parse(savedAt);
  const when = Number.isFinite(time) ? `, written ${momentAt(now)(time)}` : '';
  const here = counts.buildsHere + counts.mapsHere;
  return {
    sentences: [
      `“${fileName}”${when}.`,
      `It adds ${counted(counts.builds, 'build')} and ${counted(counts.maps, 'map')}.${here === 0 ? '' : ` ${counted(counts.buildsHere, 'build')} and ${counted(counts.mapsHere, 'map')} in it are here already.`}`,
      'Nothing that is here is replaced or lost, and undo takes it back.',
      ...(passedOver.length === 0 ? [] : ['Some of it could not be read and is passed over:']),
    ],
    passedOver,
  };
}
