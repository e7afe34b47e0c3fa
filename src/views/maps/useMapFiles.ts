import { useCallback, useState } from 'react';
import {
  draftToMapFile,
  importMap,
  type MapDraft,
  mapFileToDraft,
  pictureOfMapFile,
  readJsonText,
} from '../../build/index.ts';
import { createId, takePicture, useActions, useLuglineStore, withPicture } from '../../store/index.ts';
import { saveFile } from '../shared/ToolBar.tsx';

/** The largest file that can be a map with its picture; anything bigger is something else and is not even read. */
const MOST_BYTES = 100 * 1024 * 1024;

export interface FileNotice {
  isProblem: boolean;
  text: string;
}

/** Map files to and from the shelf, with what there is to say about the last one. */
export function useMapFiles() {
  const store = useLuglineStore();
  const { run, setUi } = useActions();
  const [notice, setNotice] = useState<FileNotice | null>(null);

  const read = useCallback(
    async (file: File) => {
      const refuse = (why: string) => setNotice({ isProblem: true, text: `'${file.name}' was not taken: ${why}` });
      if (file.size > MOST_BYTES) return refuse('it is larger than any map file (100 MB).');
      const text = await file.text().catch(() => null);
      if (text === null) return refuse('it could not be read. Is it still there?');
      const json = readJsonText(text);
      const parsed = json.ok ? mapFileToDraft(json.value, createId()) : json;
      if (!parsed.ok) {
        const all = parsed.problems.map((p) => (p.path === '' ? p.message : `${p.path}: ${p.message}`));
        return refuse(
          `${all.slice(0, 3).join(' ')}${all.length > 3 ? ` And ${all.length - 3} more.` : ''} Nothing was changed.`,
        );
      }
      const lost = json.ok
        ? await takePicture(pictureOfMapFile(json.value), parsed.value, store.getState().pictures)
        : null;
      const before = new Set(store.getState().workspace.shelfOrder);
      run(importMap(parsed.value, createId()));
      const { workspace } = store.getState();
      const id = workspace.shelfOrder.find((shelved) => !before.has(shelved)) ?? parsed.value.id;
      setUi({ openMapId: id });
      const notes = [...parsed.notes.map((n) => n.message), lost ?? ''].join(' ');
      setNotice({
        isProblem: false,
        text: `'${workspace.shelf[id]?.name ?? parsed.value.name}' is on the shelf. ${notes}`.trim(),
      });
    },
    [store, run, setUi],
  );

  const save = useCallback(
    async (draft: MapDraft) => {
      const file = draftToMapFile(draft);
      if (!file.ok) {
        const why = file.problems.map((p) => p.message).join(' ');
        setNotice({
          isProblem: true,
          text: `'${draft.name}' cannot be saved as a map file yet: ${why} The backup keeps it as it stands.`,
        });
        return;
      }
      const name = `${draft.name.replace(/[^\p{L}\p{N} ._-]+/gu, ' ').trim() || 'map'}.lugline-map.json`;
      const whole = await withPicture(file.value, draft, store.getState().pictures);
      saveFile(name, `${JSON.stringify(whole, null, 1)}\n`, 'application/json');
      const picture = whole.picture === undefined ? '' : ' The picture is in it.';
      setNotice({ isProblem: false, text: `Saved as '${name}'.${picture}` });
    },
    [store],
  );

  return { read, save, notice, setNotice };
}
