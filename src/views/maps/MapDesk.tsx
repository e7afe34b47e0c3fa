import { type ClipboardEvent, Fragment, type ReactNode, useEffect, useRef } from 'react';
import type { MapDraft } from '../../build/index.ts';
import type { AuditFinding } from '../../compressor/index.ts';
import { useFieldDraft } from '../../store/index.ts';
import { Icon, Tabs, TextLine } from '../../widgets/index.ts';
import {
  type Desk,
  type DeskActions,
  type MapEdit,
  needsInventedTag,
  type TableProps,
  useMapEdit,
  useMapName,
} from './desk.ts';
import { IslandsPanel, SurgePanel } from './IslandsPanel.tsx';
import { LinesPanel } from './LinesPanel.tsx';
import styles from './maps.module.css';
import { PastePanel } from './paste/PastePanel.tsx';
import { isMapTable } from './paste/readMapTable.ts';
import { AUDIT_ICON, weightOf } from './SheetPicture.tsx';
import { viewOf } from './sheetKinds/kinds.ts';
import type { TabOf } from './sheetKinds/sheetKind.ts';

interface MapDeskProps {
  draft: MapDraft;
  findings: readonly AuditFinding[];
  desk: Desk;
  actions: DeskActions;
  onPreview: (next: MapDraft | null) => void;
  /** Beside the name. */
  tools?: ReactNode;
  /** A sheet with nothing on it: the ways to begin, in place of its tables. */
  doors?: Omit<DoorsProps, 'draft' | 'onPaste'> | false;
}

interface DoorsProps {
  draft: MapDraft;
  /** Just added: the keyboard goes to the first door, once. */
  isNew: boolean;
  onSettled: () => void;
  onTrace: () => void;
  onPaste: () => void;
  onType: () => void;
}

/** Three ways to begin a sheet. */
function Doors({ draft, isNew, onSettled, onTrace, onPaste, onType }: DoorsProps) {
  const first = useRef<HTMLDivElement>(null);
  useEffect(() => {
    if (!isNew) return;
    first.current?.querySelector('button')?.focus();
    onSettled();
  }, [isNew, onSettled]);
  const { called } = viewOf(draft).paste;
  return (
    <div ref={first} className="column gap-m">
      <button type="button" className={styles.door} onClick={onTrace}>
        <strong>Trace a picture</strong>A scan, a photo or a PDF of the {called}: click along its lines.
      </button>
      <button type="button" className={styles.door} onClick={onPaste}>
        <strong>Paste a table</strong>From a spreadsheet, a CSV file or a printed table, in any order of columns.
      </button>
      <button type="button" className={styles.door} onClick={onType}>
        <strong>Type it in</strong>Line by line, or all lines in one table.
      </button>
    </div>
  );
}

/** Where the table stands that was pasted for a map and is not taken over yet. */
export const pastedTablePlace = (mapId: string) => `map ${mapId}/pasted table`;

/** The tables of the open map. A whole table pasted anywhere here opens the paste panel instead of filling cells. */
export function MapDesk({ draft, findings, desk, actions, onPreview, tools, doors }: MapDeskProps) {
  const edit = useMapEdit(draft.id);
  const { tabs, paste } = viewOf(draft);
  // The panel with its table outlives the page.
  const [pasting, setPasting] = useFieldDraft(pastedTablePlace(draft.id));
  const props = { draft, findings, desk, actions, edit };
  const catchTable = (event: ClipboardEvent) => {
    const target = event.target as HTMLElement;
    if (pasting !== null || desk.tab !== 'lines' || target.closest('textarea, input:not([data-column] input)')) return;
    const text = event.clipboardData.getData('text/plain');
    if (!isMapTable(text, paste)) return;
    event.preventDefault();
    event.stopPropagation();
    setPasting(text);
  };
  const take = (next: MapDraft) => {
    edit(() => next, 'paste table', `paste.${Date.now()}`);
    setPasting(null);
    actions.set({ tab: 'lines', line: 0 });
  };
  const panel = () => {
    if (desk.tab === 'sheet') return <SheetPanel {...props} />;
    if (desk.tab === 'lines') return <LinesPanel {...props} onPasteTable={() => setPasting('')} />;
    return desk.tab === 'surge' ? <SurgePanel {...props} /> : <IslandsPanel {...props} />;
  };
  const head = (strip: ReactNode) => (
    <header className={styles.deskHead}>
      <div className={styles.deskName}>
        <h2 className="ui-heading breaks narrow open-lines" title={draft.source}>
          {draft.name} {needsInventedTag(draft) && <em className={styles.invented}>invented</em>}
        </h2>
        {!doors && tools}
      </div>
      {strip}
    </header>
  );
  return (
    <section className={styles.desk} aria-label={`Tables of '${draft.name}'`} onPasteCapture={catchTable}>
      {pasting !== null ? (
        <>
          {head(null)}
          <div className={styles.deskBody}>
            <PastePanel
              draft={draft}
              text={pasting}
              onText={setPasting}
              onTake={take}
              onCancel={() => setPasting(null)}
              onPreview={onPreview}
            />
          </div>
        </>
      ) : doors ? (
        <>
          {head(null)}
          <div className={styles.deskBody}>
            <Doors {...doors} draft={draft} onPaste={() => setPasting('')} />
          </div>
        </>
      ) : (
        <Tabs
          label="Parts of the sheet"
          panelClassName={styles.deskBody}
          items={tabs.map(({ key, name, parts }) => ({
            key,
            name,
            mark: <WorstMark findings={findings} parts={parts} />,
            content: key === desk.tab && panel(),
          }))}
          selected={desk.tab}
          onSelect={(tab) => actions.set({ tab })}
          layout={(strip, body) => [<Fragment key="head">{head(strip)}</Fragment>, body]}
        />
      )}
    </section>
  );
}

/** The worst that the audit says of the parts under a tab, or that something is still needed there. */
function WorstMark({ findings, parts }: Pick<MapDeskProps, 'findings'> & Pick<TabOf, 'parts'>) {
  const here = findings.filter((f) => f.severity !== 'note' && f.place && parts.includes(f.place.part));
  const worst = here.find((f) => !f.isLacking) ?? here[0];
  if (worst === undefined) return null;
  const weight = weightOf(worst);
  return (
    <span className={styles[weight]}>
      <Icon name={AUDIT_ICON[weight]} />
      <span className={styles.hidden}>, {worst.isLacking ? 'still needed' : weight}</span>
    </span>
  );
}

/** What stands on the sheet once: name, source, reference state, units, limits and wheel. */
function SheetPanel({ draft, desk, actions, edit }: TableProps) {
  const { Meaning } = viewOf(draft);
  const panel = useRef<HTMLDivElement>(null);
  const part = desk.goTo?.place.part;
  useEffect(() => {
    if (part !== 'reference' && part !== 'limits' && part !== 'wheel') return;
    panel.current?.querySelector<HTMLElement>(`[data-part="${part}"] input`)?.focus();
    actions.set({ goTo: null });
  }, [part, actions]);
  return (
    <div ref={panel} className={styles.panel}>
      <SheetNames draft={draft} edit={edit} />
      <Meaning draft={draft} edit={edit} />
    </div>
  );
}

/** Name and source. */
function SheetNames({ draft, edit }: { draft: MapDraft; edit: MapEdit }) {
  const name = useMapName(draft);
  return (
    <div className={styles.group}>
      <TextLine label="Name" value={name.text} onChange={name.write} />
      <TextLine
        label="Read by whom, from what, when"
        value={draft.source}
        rows={2}
        onChange={(source) => edit((d) => (d.source === source ? d : { ...d, source }), 'edit source', 'source')}
      />
    </div>
  );
}
