import { fetchAhead, latePart } from '../widgets/index.ts';
import { PartMissing } from './PartMissing.tsx';

/* Windows that nobody opens in the first second: they and what windows need stay out of the first script. */

const rename = latePart(async () => (await import('./dialogs.tsx')).RenameDialog, PartMissing);
const restore = latePart(async () => (await import('./dialogs.tsx')).RestoreDialog, PartMissing);
const storage = latePart(async () => (await import('./dialogs.tsx')).StorageDialog, PartMissing);
const help = latePart(async () => (await import('./Help.tsx')).HelpDialog, PartMissing);

export const RenameDialog = rename.Part;
export const RestoreDialog = restore.Part;
export const StorageDialog = storage.Part;
export const HelpDialog = help.Part;

/** Fetches them when the page has nothing else to do. Gives back how to call it off. */
export const fetchLateDialogs = () => fetchAhead('dialogs', [rename, restore, storage, help]);
