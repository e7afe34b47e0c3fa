import { type ComponentType, createElement, lazy } from 'react';
import { PartMissing } from './PartMissing.tsx';

/* Windows that nobody opens in the first second: they and what windows need stay out of the first script. */

const RENAME = async () => (await import('./RenameDialog.tsx')).RenameDialog;
const RESTORE = async () => (await import('./RestoreDialog.tsx')).RestoreDialog;
const STORAGE = async () => (await import('./StorageDialog.tsx')).StorageDialog;
const HELP = async () => (await import('./HelpDialog.tsx')).HelpDialog;

/** The window as a component that waits for its part; without a network it says so instead of taking the page down. */
function late<P extends object>(load: () => Promise<ComponentType<P>>) {
  return lazy(async () => {
    try {
      return { default: await load() };
    } catch {
      return { default: (_props: P) => createElement(PartMissing) };
    }
  });
}

export const RenameDialog = late(RENAME);
export const RestoreDialog = late(RESTORE);
export const StorageDialog = late(STORAGE);
export const HelpDialog = late(HELP);

/** Fetches them when the page has nothing else to do. Gives back how to call it off. */
export function fetchLateDialogs(): () => void {
  const timer = setTimeout(() => {
    for (const load of [RENAME, RESTORE, STORAGE, HELP]) load().catch(() => undefined);
  }, 300);
  return () => clearTimeout(timer);
}
