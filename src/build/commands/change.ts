import type { Workspace } from '../document.ts';

/**
 * One change of the workspace with its undo policy:
 * - 'step': undone by itself;
 * - 'merge': one step together with the change before it, when that has the same mergeKey and is less than a second old: a drag,
 *   or the typing in one field;
 * - 'never': what is looked at, not what is entered (which build is open, theme); undo leaves it alone.
 */
export interface Change {
  /** In the words of the undo button: 'change altitude'. */
  label: string;
  undo: 'step' | 'merge' | 'never';
  mergeKey?: string | undefined;
  /** Pure. Gives the very same workspace back when nothing changes, and then no step is made. */
  perform(workspace: Workspace): Workspace;
}

export function step(label: string, perform: Change['perform']): Change {
  return { label, undo: 'step', perform };
}

export function merging(label: string, mergeKey: string, perform: Change['perform']): Change {
  return { label, undo: 'merge', mergeKey, perform };
}

export function unrecorded(label: string, perform: Change['perform']): Change {
  return { label, undo: 'never', perform };
}
