import { type ReactNode, useEffect } from 'react';
import { Dialog as AriaDialog } from 'react-aria-components/Dialog';
import { Heading } from 'react-aria-components/Heading';
import { Modal, ModalOverlay } from 'react-aria-components/Modal';
import { Button, cx, IconButton } from './Button.tsx';
import styles from './dialog.module.css';

interface DialogProps {
  title: string;
  children: ReactNode;
  /** Escape, the cross or a press outside. The caller then no longer renders the dialog. */
  onClose: () => void;
  /** Buttons at the foot, the one that goes on last. */
  actions?: ReactNode;
  size?: 'small' | 'wide' | 'large' | undefined;
  /** 'alertdialog': it asks before something is taken away, and a press outside does not close it. */
  role?: 'dialog' | 'alertdialog' | undefined;
}

/** A window over the page, as long as it is rendered. The keyboard stays inside and goes back where it came from. */
export function Dialog({ title, children, onClose, actions, size = 'small', role = 'dialog' }: DialogProps) {
  useEffect(markOpen, []);
  return (
    <ModalOverlay
      isOpen
      isDismissable={role === 'dialog'}
      className={styles.overlay!}
      onOpenChange={(isOpen) => {
        if (!isOpen) onClose();
      }}
    >
      <Modal className={cx(styles.window, styles[size])}>
        <AriaDialog role={role} className={styles.dialog!}>
          <header className={styles.head}>
            <Heading slot="title" level={2} className={styles.title!}>
              {title}
            </Heading>
            <IconButton icon="cross" label="Close" onPress={onClose} />
          </header>
          {/* What scrolls must be reached by the keyboard. */}
          <div className={styles.body} tabIndex={size === 'wide' ? 0 : undefined}>
            {children}
          </div>
          {actions && <footer className={styles.actions}>{actions}</footer>}
        </AriaDialog>
      </Modal>
    </ModalOverlay>
  );
}

interface FormDialogProps {
  title: string;
  children: ReactNode;
  /** The verb on the button: 'Rename', 'Start'. */
  verb: string;
  isDisabled?: boolean;
  onDone: () => void;
  onClose: () => void;
  className?: string;
}

/** A window with one thing to do: its button does it, and so does Enter in a field. */
export function FormDialog({ title, children, verb, isDisabled = false, onDone, onClose, className }: FormDialogProps) {
  return (
    <Dialog
      title={title}
      onClose={onClose}
      actions={
        <>
          <Button onPress={onClose}>Cancel</Button>
          <Button variant="primary" isDisabled={isDisabled} onPress={onDone}>
            {verb}
          </Button>
        </>
      }
    >
      <form
        className={className}
        onSubmit={(event) => {
          event.preventDefault();
          onDone();
        }}
      >
        {children}
        <button type="submit" hidden>
          {verb}
        </button>
      </form>
    </Dialog>
  );
}

let open = 0;

/** Says on the root element that a dialog is open: short messages then keep off its foot, where its buttons are. */
function markOpen(): () => void {
  const mark = (by: number) => {
    open += by;
    document.documentElement.toggleAttribute('data-dialog', open > 0);
  };
  mark(1);
  return () => mark(-1);
}

interface ConfirmDialogProps {
  title: string;
  /** What will happen, to what, and whether it can be taken back. */
  children: ReactNode;
  /** The verb on the button: 'Delete', 'Replace'. */
  confirm: string;
  onConfirm: () => void;
  onClose: () => void;
}

/** Asks before something that cannot be undone. The keyboard begins on Cancel. */
export function ConfirmDialog({ title, children, confirm, onConfirm, onClose }: ConfirmDialogProps) {
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
            variant="primary"
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
