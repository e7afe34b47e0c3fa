import { Suspense, useCallback, useDeferredValue, useEffect, useMemo, useState } from 'react';
import type { MapDraft } from '../../build/index.ts';
import type { SheetPlace } from '../../compressor/index.ts';
import { useActions, useLugline, useShelf } from '../../store/index.ts';
import { Button, latePart } from '../../widgets/index.ts';
import { useDesk } from './desk.ts';
import { isBlankSheet } from './editDraft.ts';
import { startOfLine } from './LinesPanel.tsx';
import { MapDesk } from './MapDesk.tsx';
import { type MapFiles, MapShelf } from './MapShelf.tsx';
import styles from './maps.module.css';
import { FindingList, SheetPicture, StillNeeded } from './SheetPicture.tsx';
import { fitSheet } from './sheetKinds/kinds.ts';

/** Tracing from a picture is a part of its own, fetched with the Maps view, before anybody asks: a network that is gone later takes nothing away. */
const TraceView = latePart(async () => (await import('./trace/TraceView.tsx')).TraceView, TracingMissing);

function TracingMissing({ onClose }: { onClose: () => void }) {
  return (
    <div className={styles.none} role="alert">
      <p>
        The part of the program that traces pictures cannot be loaded: the program is no longer being served. Start it
        again and reload the page; nothing is lost.
      </p>
      <Button onPress={onClose}>Back to the plot</Button>
    </div>
  );
}

/** The Maps view: the shelf, the tables of the open map, its plot and its audit. */
export function MapsView({ files }: { files: MapFiles }) {
  const shelf = useShelf();
  const wanted = useLugline((state) => state.ui.openMapId);
  const open = shelf.find((map) => map.id === wanted) ?? shelf[0] ?? null;
  const [isNew, setNew] = useState(false);
  const added = useCallback(() => setNew(true), []);
  const [tracedId, setTraced] = useState<string | null>(null);
  const isTracing = open !== null && tracedId === open.id;
  return (
    <div className={styles.view} data-tracing={isTracing || undefined}>
      {!isTracing && <MapShelf openId={open?.id ?? null} files={files} onAdded={added} />}
      {open === null ? (
        <NoMap />
      ) : (
        <OpenMap
          key={open.id}
          draft={open}
          isNew={isNew}
          onSettled={() => setNew(false)}
          isTracing={isTracing}
          onTrace={(on) => setTraced(on ? open.id : null)}
        />
      )}
    </div>
  );
}

function NoMap() {
  return (
    <p className={styles.none}>
      Sheets are typed, pasted or traced here. A compressor map: reference state, speed lines, surge line, efficiency
      islands; begin with 'New map' on the shelf. The flow capacity of a turbine: flow over expansion ratio; begin with
      'New turbine sheet'.
    </p>
  );
}

const stay = (): void => {};

interface OpenMapProps {
  draft: MapDraft;
  isNew: boolean;
  onSettled: () => void;
  isTracing: boolean;
  onTrace: (on: boolean) => void;
}

function OpenMap({ draft, isNew, onSettled, isTracing, onTrace }: OpenMapProps) {
  const fitter = useLugline((state) => state.fitter);
  const { setUi } = useActions();
  const [desk, actions] = useDesk();
  const isBlank = isBlankSheet(draft);
  const [isTyping, setTyping] = useState(false);
  const [preview, setPreview] = useState<MapDraft | null>(null);
  const [pointed, setPointed] = useState<SheetPlace | null>(null);
  // The cell shows the key at once; the plot and the audit follow in the same frame where they can, and never hold up typing.
  const shown = useDeferredValue(preview ?? draft);
  const fit = useMemo(() => fitSheet(shown, fitter), [shown, fitter]);
  useEffect(() => setUi({ openMapId: draft.id }), [setUi, draft.id]);
  const findings = fit.findings;
  // A pasted table that is not taken over yet has no cells to go to.
  const show = preview === null ? actions.show : stay;
  const picture = {
    draft: shown,
    row: preview === null ? desk.row : null,
    pointed,
    onShow: show,
    isPreview: preview !== null,
  };
  if (isTracing) {
    return (
      <Suspense fallback={<p className={styles.none}>Opening the tracing …</p>}>
        <TraceView draft={draft} fit={fit} desk={desk} actions={actions} onClose={() => onTrace(false)} />
      </Suspense>
    );
  }
  return (
    <>
      <MapDesk
        draft={draft}
        findings={preview === null && !isBlank ? findings : []}
        desk={desk}
        actions={actions}
        onPreview={setPreview}
        doors={
          isBlank &&
          !isTyping && {
            isNew,
            onSettled,
            onTrace: () => onTrace(true),
            onType: () => {
              setTyping(true);
              actions.show(startOfLine(draft, 0));
            },
          }
        }
        tools={
          <Button icon="pencil" onPress={() => onTrace(true)}>
            Trace from a picture
          </Button>
        }
      />
      <section className={styles.right} aria-label={`Plot and audit of '${draft.name}'`}>
        <SheetPicture {...picture} fitter={fitter} findings={findings} withIslandPoints={desk.tab === 'islands'} />
        {isBlank && preview === null ? (
          <StillNeeded draft={draft} findings={findings} />
        ) : (
          <FindingList findings={findings} onShow={show} onPoint={setPointed} />
        )}
      </section>
    </>
  );
}
