import { type MapDraft, renameMap } from '../../build/index.ts';
import { useFieldDraft, useLuglineStore } from '../../store/index.ts';

/**
 * A map's name while it is typed: a name that the shelf can take is taken at every letter, and stored like any other text; one that it
 * cannot take as it stands (empty, or taken already) is kept as unread text until it is finished.
 */
export function useMapName({ id, name }: MapDraft) {
  const store = useLuglineStore();
  const [unread, keep] = useFieldDraft(`map ${id}/name`);
  const write = (text: string, { transient }: { transient: boolean }) => {
    const change = renameMap(id, text);
    const { workspace, run } = store.getState();
    const isTaken = change.perform(workspace).shelf[id]?.name === text;
    keep(transient && !isTaken ? text : null);
    if (isTaken || !transient) run(change, `name of map ${id}`);
  };
  return { text: unread ?? name, write };
}
