import type { ReactNode } from 'react';
import { Button } from './Button.tsx';
import { Dialog } from './Dialog.tsx';

export interface ConfirmDialogProps {
  title: string;
  /** What will happen, to what, and whether it can be taken back. */
  children: ReactNode;
  /** The verb on the button: 'Delete', 'Replace'. */
  confirm: string;
  isDanger?: boolean | undefined;
  onConfirm: () => void;
  onClose: () => void;
}

/** Asks before something that cannot be undone. The keyboard begins on Cancel. */
export function ConfirmDialog({ title, children, confirm, isDanger, onConfirm, onClose }: ConfirmDialogProps) {
  return (
    <Dialog
      title={title}
      role="alertdialog"
      onClose={onClose}
      actions={
        <>
          <Button onPress={onClose} autoFocus>
            Cancel
          </Button>
          <Button
            variant={isDanger ? 'danger' : 'primary'}
            onPress={() => {
              onConfirm();
              onClose();
            }}
          >
            {confirm}
          </Button>
        </>
      }
    >
      {children}
    </Dialog>
  );
}
