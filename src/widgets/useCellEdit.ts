import { useEffect, useRef, useState } from 'react';
import type { CellAt } from './gridTypes.ts';

export interface CellEdit extends CellAt {
  /** Text of the cell before. */
  original: string;
  text: string;
  /** 'typed': begun by typing, arrow keys leave the cell; 'caret': begun with F2 or a double click, they move in the text. */
  mode: 'typed' | 'caret';
}

type OnEdit = (row: number, column: number, text: string, change: { transient: boolean }) => void;

/**
 * The cell that is being typed into. Every keystroke is sent at once; `finish` sends the last text once more as the end of the edit,
 * `cancel` the original one. When the cell's text changes from elsewhere (undo), the edit is given up and that text counts.
 */
export function useCellEdit(textAt: (at: CellAt) => string, onEdit: OnEdit) {
  const [edit, setEdit] = useState<CellEdit | null>(null);
  /** Texts that this edit has sent: any other text in the cell came from elsewhere. */
  const sent = useRef(new Set<string>());
  const textNow = edit === null ? null : textAt(edit);
  const textBefore = useRef<string | null>(null);
  useEffect(() => {
    const changed = textBefore.current !== null && textNow !== null && textBefore.current !== textNow;
    textBefore.current = textNow;
    if (changed && !sent.current.has(textNow)) setEdit(null);
  }, [textNow]);

  const write = (next: CellEdit) => {
    sent.current.add(next.text);
    setEdit(next);
    onEdit(next.row, next.column, next.text, { transient: true });
  };
  const begin = (at: CellAt, mode: CellEdit['mode'], typed?: string) => {
    const original = textAt(at);
    sent.current = new Set();
    if (typed === undefined) setEdit({ ...at, original, text: original, mode });
    else write({ ...at, original, text: typed, mode });
  };
  const end = (text: 'text' | 'original') => {
    if (edit !== null && edit.text !== edit.original) onEdit(edit.row, edit.column, edit[text], { transient: false });
    setEdit(null);
  };
  return { edit, begin, write, finish: () => end('text'), cancel: () => end('original'), drop: () => setEdit(null) };
}
