import { useCallback, useEffect, useRef, useState } from 'react';
import { createId, useLugline } from '../../../store/index.ts';
import type { MapEdit } from '../useMapEdit.ts';
import { type OpenedDocument, type OpenedPicture, openPicture } from './picture/openPicture.ts';
import { setPicture } from './setPicture.ts';

export type Taking = ReturnType<typeof useTaking>;

/** Pictures from files, from dropping and from pasting into the open map. What cannot be opened changes nothing and says why. */
export function useTaking(edit: MapEdit) {
  const shelf = useLugline((state) => state.pictures);
  /** What is being done with a file just now, in words; null: nothing. */
  const [busy, setBusy] = useState<string | null>(null);
  /** Why the last file was not taken. */
  const [problem, setProblem] = useState<string | null>(null);
  /** A document whose page is to be chosen. */
  const [pages, setPages] = useState<OpenedDocument | null>(null);
  /** A later file wins over one that is still being opened. */
  const turn = useRef(0);
  const keep = useCallback(
    async ({ bytes, ...picture }: OpenedPicture) => {
      const id = createId();
      // The picture is safe before the map refers to it.
      await shelf.put({ id, bytes }).catch((error: Error) => setProblem(error.message));
      const today = new Date().toISOString().slice(0, 10);
      edit((d) => setPicture(d, { ...picture, id, kept: true }, today), 'open picture', `picture.${id}`);
    },
    [shelf, edit],
  );
  const take = useCallback(
    async (files: readonly File[]) => {
      const file = files[0];
      if (file === undefined) return;
      turn.current += 1;
      const mine = turn.current;
      const called = file.name === '' ? 'The picture' : `'${file.name}'`;
      setProblem(null);
      setBusy(`Opening ${called}`);
      const opened = await openPicture(file);
      if (mine !== turn.current) {
        if (opened.kind === 'document') opened.document.close();
        return;
      }
      if (opened.kind === 'refused') setProblem(`${called} was not opened; nothing is changed. ${opened.message}`);
      else if (opened.kind === 'document') setPages(opened.document);
      else await keep(opened.picture);
      setBusy(null);
    },
    [keep],
  );
  const closePages = useCallback(() => {
    pages?.close();
    setPages(null);
  }, [pages]);
  const choosePage = useCallback(
    async (page: number) => {
      if (pages === null) return;
      setBusy(`Drawing page ${page}`);
      try {
        await keep(await pages.take(page));
        closePages();
      } catch {
        setProblem(`Page ${page} cannot be drawn: it is damaged, or too large. Nothing is changed.`);
      }
      setBusy(null);
    },
    [pages, keep, closePages],
  );
  useDropAndPaste(take);
  return { busy, problem, pages, take, choosePage, closePages };
}

/** While a map is being traced, a picture dropped or pasted anywhere on the page is meant for it. Lugline's own files are not. */
function useDropAndPaste(take: (files: readonly File[]) => void): void {
  useEffect(() => {
    const pictures = (data: DataTransfer | null) =>
      [...(data?.files ?? [])].filter((file) => !/json/i.test(file.type) && !/\.json$/i.test(file.name));
    const receive = (event: DragEvent | ClipboardEvent) => {
      const files = pictures('dataTransfer' in event ? event.dataTransfer : event.clipboardData);
      if (files.length === 0) return;
      event.preventDefault();
      take(files);
    };
    window.addEventListener('drop', receive, true);
    window.addEventListener('paste', receive, true);
    return () => {
      window.removeEventListener('drop', receive, true);
      window.removeEventListener('paste', receive, true);
    };
  }, [take]);
}
