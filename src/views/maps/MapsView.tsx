import { useCallback, useDeferredValue, useEffect, useMemo, useState } from 'react';
import { fitDraft, type MapDraft } from '../../build/index.ts';
import type { SheetPlace } from '../../store/index.ts';
import { useActions, useLugline, useShelf } from '../../store/index.ts';
import { MapDesk } from './MapDesk.tsx';
import styles from './maps.module.css';
import { FindingList } from './picture/FindingList.tsx';
import { MapPicture } from './picture/MapPicture.tsx';
import { MapShelf } from './shelf/MapShelf.tsx';
import { useDesk } from './useDesk.ts';

/** The Maps view: the shelf, the tables of the open map, its plot and its audit. */
export function MapsView() {
  const shelf = useShelf();
  const wanted = useLugline((state) => state.ui.openMapId);
  const open = shelf.find((map) => map.id === wanted) ?? shelf[0] ?? null;
  const [isNew, setNew] = useState(false);
  const added = useCallback(() => setNew(true), []);
  return (
    <div className={styles.view}>
      <MapShelf openId={open?.id ?? null} onAdded={added} />
      {open === null ? <NoMap /> : <OpenMap key={open.id} draft={open} isNew={isNew} onSettled={() => setNew(false)} />}
    </div>
  );
}

function NoMap() {
  return (
    <p className={styles.none}>
      A map is typed or pasted here from a compressor sheet: reference state, speed lines, surge line, efficiency
      islands. Begin with 'New map' on the shelf.
    </p>
  );
}

const stay = (): void => {};

function OpenMap({ draft, isNew, onSettled }: { draft: MapDraft; isNew: boolean; onSettled: () => void }) {
  const fitter = useLugline((state) => state.fitter);
  const { setUi } = useActions();
  const [desk, actions] = useDesk();
  const [preview, setPreview] = useState<MapDraft | null>(null);
  const [pointed, setPointed] = useState<SheetPlace | null>(null);
  // The cell shows the key at once; the plot and the audit follow in the same frame where they can, and never hold up typing.
  const shown = useDeferredValue(preview ?? draft);
  const fit = useMemo(() => fitDraft(shown, fitter), [shown, fitter]);
  useEffect(() => {
    if (!isNew) return;
    actions.show({ place: { part: 'speed-line', line: 0 }, code: 'speed' });
    onSettled();
  }, [isNew, actions, onSettled]);
  useEffect(() => setUi({ openMapId: draft.id }), [setUi, draft.id]);
  const findings = fit.findings;
  // A pasted table that is not taken over yet has no cells to go to.
  const show = preview === null ? actions.show : stay;
  return (
    <>
      <MapDesk
        draft={draft}
        findings={preview === null ? findings : []}
        desk={desk}
        actions={actions}
        onPreview={setPreview}
      />
      <section className={styles.right} aria-label={`Plot and audit of '${draft.name}'`}>
        <MapPicture
          draft={shown}
          fit={fit}
          row={preview === null ? desk.row : null}
          pointed={pointed}
          onShow={show}
          isPreview={preview !== null}
          withIslandPoints={desk.tab === 'islands'}
        />
        <FindingList findings={findings} onShow={show} onPoint={setPointed} />
      </section>
    </>
  );
}
