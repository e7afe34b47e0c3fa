import { useEffect } from 'react';

const OWN_UNDO = '[role="dialog"],[role="alertdialog"],input[aria-invalid="true"]';

/**
 * Ctrl or Cmd + Z undoes, with Shift (or Ctrl + Y) redoes, wherever the focus is, except where the browser's own undo of a text that
 * is not in the document is what a person expects: in a dialog, or in a field whose text cannot be read yet (a cell of a table
 * has no undo of its own).
 */
export function useHistoryShortcuts(undo: () => void, redo: () => void): void {
  useEffect(() => {
    const onKeyDown = (event: KeyboardEvent) => {
      if (event.defaultPrevented || event.altKey || !(event.ctrlKey || event.metaKey)) return;
      const key = event.key.toLowerCase();
      const isUndo = key === 'z' && !event.shiftKey;
      const isRedo = (key === 'z' && event.shiftKey) || key === 'y';
      if (!isUndo && !isRedo) return;
      if (event.target instanceof Element && event.target.closest(OWN_UNDO)) return;
      event.preventDefault();
      if (isUndo) undo();
      else redo();
    };
    window.addEventListener('keydown', onKeyDown);
    return () => window.removeEventListener('keydown', onKeyDown);
  }, [undo, redo]);
}
