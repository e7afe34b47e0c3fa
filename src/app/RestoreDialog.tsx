import { useLugline } from '../store/index.ts';
import { ConfirmDialog } from '../widgets/index.ts';
import type { FileActions } from './fileActions.ts';
import { restoreWords } from './restoreWords.ts';

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
      {sentences.map((sentence) => (
        <p key={sentence}>{sentence}</p>
      ))}
      {passedOver.length > 0 && (
        <ul>
          {passedOver.map((line) => (
            <li key={line}>{line}</li>
          ))}
        </ul>
      )}
    </ConfirmDialog>
  );
}
