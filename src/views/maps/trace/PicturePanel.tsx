import { useCallback, useEffect, useMemo, useRef, useState } from 'react';
import type { MapDraft } from '../../../build/index.ts';
import { createId, useLugline } from '../../../store/index.ts';
import { formatNumber } from '../../../units/index.ts';
import { Button, IconButton, SwitchField, TextLine } from '../../../widgets/index.ts';
import type { MapEdit } from '../desk.ts';
import mapStyles from '../maps.module.css';
import { viewOf } from '../sheetKinds/kinds.ts';
import { tracingOf, withTracing } from './axes.ts';
import { type OpenedDocument, type OpenedPicture, openPicture } from './picture/openPicture.ts';
import { setLook, setPicture, setProvenance } from './setPicture.ts';
import styles from './trace.module.css';

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
        setProblem(
          `Page ${page} cannot be drawn: it is damaged, too large, or takes longer than 20 seconds. Nothing is changed; save it as a picture.`,
        );
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

/** The picture of the sheet: where it comes from, how it is shown, whether it is kept, and who read it. */
export function PicturePanel({ draft, edit, taking }: { draft: MapDraft; edit: MapEdit; taking: Taking }) {
  const { picture } = tracingOf(draft);
  const chooser = useRef<HTMLInputElement>(null);
  return (
    <div className={mapStyles.panel}>
      <p className={mapStyles.lead}>
        Open, drop or paste a picture of the sheet: PNG, JPEG, WebP, SVG, or a page of a PDF. It stays on this machine.
      </p>
      <div className={mapStyles.panelTools}>
        <Button icon="open" variant={picture === null ? 'primary' : 'plain'} onPress={() => chooser.current?.click()}>
          {picture === null ? 'Open a picture' : 'Open another'}
        </Button>
        {picture !== null && (
          <Button
            variant="quiet"
            icon="trash"
            onPress={() => edit((d) => setPicture(d, null, ''), 'take picture away', 'picture')}
          >
            Take it away
          </Button>
        )}
        <input
          ref={chooser}
          type="file"
          accept=".png,.jpg,.jpeg,.webp,.svg,.pdf,image/png,image/jpeg,image/webp,image/svg+xml,application/pdf"
          hidden
          aria-label="Picture of the sheet"
          onChange={(event) => {
            taking.take([...(event.target.files ?? [])]);
            event.target.value = '';
          }}
        />
      </div>
      <div role="status">
        {taking.busy !== null && <p className={mapStyles.help}>{taking.busy} …</p>}
        {taking.problem !== null && <p className={mapStyles.pasteProblem}>{taking.problem}</p>}
      </div>
      {taking.pages !== null && (
        <PageChoice pages={taking.pages} onChoose={taking.choosePage} onClose={taking.closePages} />
      )}
      {picture !== null && (
        <p className={mapStyles.help}>
          {picture.name}
          {picture.page === undefined ? '' : `, page ${picture.page}`}: {formatNumber(picture.width, 0)} by{' '}
          {formatNumber(picture.height, 0)} pixels
        </p>
      )}
      {picture !== null && <LookFields draft={draft} edit={edit} />}
      <Provenance draft={draft} edit={edit} />
    </div>
  );
}

const SLIDERS = [
  { of: 'turnDeg', label: 'Fine turn', unit: '°', shown: 1, range: [-10, 10, 0.1], change: 'turn', key: 'fine-turn' },
  {
    of: 'brightness',
    label: 'Brightness',
    unit: '%',
    shown: 100,
    range: [50, 250, 5],
    change: 'brighten',
    key: 'brightness',
  },
  { of: 'fade', label: 'Fade', unit: '%', shown: 100, range: [0, 90, 5], change: 'fade', key: 'fade' },
] as const;

function LookFields({ draft, edit }: { draft: MapDraft; edit: MapEdit }) {
  const { look } = tracingOf(draft);
  const turn = (by: 1 | 3) =>
    edit(
      (d) => setLook(d, { quarterTurns: ((tracingOf(d).look.quarterTurns + by) % 4) as 0 | 1 | 2 | 3 }),
      'turn picture',
      `turn.${by}`,
    );
  return (
    <fieldset className={mapStyles.group}>
      <legend>How it is shown</legend>
      <div className="row gap-xxs">
        <span className="grow soft">Quarter turn</span>
        <IconButton icon="undo" label="Turn to the left" onPress={() => turn(3)} />
        <IconButton icon="redo" label="Turn to the right" onPress={() => turn(1)} />
      </div>
      {SLIDERS.map(({ of, shown, change, key, ...slider }) => (
        <Slider
          key={key}
          {...slider}
          value={look[of] * shown}
          onChange={(value) => edit((d) => setLook(d, { [of]: value / shown }), `${change} picture`, key)}
        />
      ))}
      <p className={mapStyles.help}>For the eye only: places and numbers do not depend on it.</p>
    </fieldset>
  );
}

function Slider(props: {
  label: string;
  unit: string;
  value: number;
  range: readonly [low: number, high: number, step: number];
  onChange: (value: number) => void;
}) {
  const { label, unit, value, onChange } = props;
  const [min, max, step] = props.range;
  const text = value.toFixed(step < 1 ? 1 : 0);
  return (
    <label className={styles.slider}>
      <span>{label}</span>
      <input
        type="range"
        min={min}
        max={max}
        step={step}
        value={value}
        aria-valuetext={`${text} ${unit}`}
        onChange={(event) => onChange(Number(event.target.value))}
      />
      <output>
        {text}
        {unit === '°' ? '°' : `\u00a0${unit}`}
      </output>
    </label>
  );
}

function Provenance({ draft, edit }: { draft: MapDraft; edit: MapEdit }) {
  const { picture } = tracingOf(draft);
  const given = draft.provenance ?? { readBy: '', readFrom: '', readOn: '' };
  const set = (key: keyof typeof given) => (text: string) =>
    edit(
      (d) => ((d.provenance ?? given)[key] === text ? d : setProvenance(d, { [key]: text })),
      'edit provenance',
      key,
    );
  return (
    <fieldset className={mapStyles.group}>
      <legend>Provenance</legend>
      <TextLine label="Read by" value={given.readBy} onChange={set('readBy')} />
      <TextLine label="From" value={given.readFrom} onChange={set('readFrom')} placeholder="sheet, number, page" />
      <TextLine label="On" value={given.readOn} onChange={set('readOn')} placeholder="date" />
      {picture !== null && (
        <SwitchField
          label="Keep the picture with the map"
          value={picture.kept}
          onChange={(kept) =>
            edit((d) => withTracing(d, { picture: { ...picture, kept } }), 'keep or leave out picture', 'kept')
          }
          help={
            picture.kept
              ? 'The map file carries the picture. Build files and backups do not.'
              : 'The map file leaves the picture out; it stays in this browser.'
          }
        />
      )}
      <MapHash draft={draft} />
    </fieldset>
  );
}

function PageChoice(props: { pages: OpenedDocument; onChoose: (page: number) => void; onClose: () => void }) {
  const { pages } = props;
  const [page, setPage] = useState('1');
  const number = Number(page);
  const isPage = Number.isInteger(number) && number >= 1 && number <= pages.pages;
  return (
    <fieldset className={mapStyles.group}>
      <legend>Choose the page of '{pages.name}'</legend>
      <ul className={styles.pages}>
        {Array.from({ length: Math.min(pages.pages, 40) }, (_, i) => i + 1).map((n) => (
          <li key={n}>
            <button type="button" className={styles.page} onClick={() => props.onChoose(n)}>
              <PageView pages={pages} page={n} />
              Page {n}
            </button>
          </li>
        ))}
      </ul>
      {pages.pages > 40 && (
        <div className={mapStyles.panelTools}>
          <TextLine
            label={`Page, 1 to ${pages.pages}`}
            value={page}
            onChange={setPage}
            error={isPage ? null : 'No such page.'}
          />
          <Button isDisabled={!isPage} onPress={() => props.onChoose(number)}>
            Take this page
          </Button>
        </div>
      )}
      <div>
        <Button variant="quiet" onPress={props.onClose}>
          Cancel
        </Button>
      </div>
    </fieldset>
  );
}

/** Drawn when it comes into sight: a document may have many pages. */
function PageView({ pages, page }: { pages: OpenedDocument; page: number }) {
  const holder = useRef<HTMLSpanElement>(null);
  const [url, setUrl] = useState<string | null>(null);
  useEffect(() => {
    let made: string | null = null;
    let isGone = false;
    const observer = new IntersectionObserver(([entry]) => {
      if (entry?.isIntersecting !== true) return;
      observer.disconnect();
      pages
        .preview(page)
        .then((address) => {
          made = address;
          if (isGone) URL.revokeObjectURL(address);
          else setUrl(address);
        })
        // A damaged page has no small view; choosing it says so.
        .catch(() => undefined);
    });
    if (holder.current !== null) observer.observe(holder.current);
    return () => {
      isGone = true;
      observer.disconnect();
      if (made !== null) URL.revokeObjectURL(made);
    };
  }, [pages, page]);
  return (
    <span ref={holder} className={styles.pageView}>
      {url !== null && <img src={url} alt="" />}
    </span>
  );
}

/** The short hash of the data: the same on paper and on screen means the same numbers. */
function MapHash({ draft }: { draft: MapDraft }) {
  const hash = useMemo(() => viewOf(draft).hash(draft), [draft]);
  return (
    <p className={mapStyles.help}>
      Hash of the data: <span className="ui-ink strong">{hash ?? 'not before the reference state is entered'}</span>
    </p>
  );
}
