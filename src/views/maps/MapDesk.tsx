import { type ClipboardEvent, Fragment, type ReactNode, useState } from 'react';
import { isTurbineSheet, type MapDraft } from '../../build/index.ts';
import type { AuditFinding, SheetPlace } from '../../compressor/index.ts';
import { Icon, Tabs } from '../../widgets/index.ts';
import type { Desk, DeskActions, DeskTab } from './desk.ts';
import { useMapEdit } from './desk.ts';
import { IslandsPanel, SurgePanel } from './IslandsPanel.tsx';
import { LinesPanel } from './LinesPanel.tsx';
import styles from './maps.module.css';
import { PastePanel } from './paste/PastePanel.tsx';
import { isMapTable } from './paste/readMapTable.ts';
import { SheetPanel } from './SheetPanel.tsx';

export interface MapDeskProps {
  draft: MapDraft;
  findings: readonly AuditFinding[];
  desk: Desk;
  actions: DeskActions;
  onPreview: (next: MapDraft | null) => void;
  /** Beside the name. */
  tools?: ReactNode;
}

interface TabOf {
  key: DeskTab;
  name: string;
  parts: readonly SheetPlace['part'][];
}

const TABS: readonly TabOf[] = [
  { key: 'sheet', name: 'Sheet', parts: ['reference', 'limits', 'wheel'] },
  { key: 'lines', name: 'Speed lines', parts: ['speed-line'] },
  { key: 'surge', name: 'Surge line', parts: ['surge-line'] },
  { key: 'islands', name: 'Islands', parts: ['island'] },
];
const TURBINE_TABS: readonly TabOf[] = [
  { key: 'sheet', name: 'Sheet', parts: ['reference', 'limits', 'wheel'] },
  { key: 'lines', name: 'Lines', parts: ['speed-line'] },
];

/** The tables of the open map. A whole table pasted anywhere here opens the paste panel instead of filling cells. */
export function MapDesk({ draft, findings, desk, actions, onPreview, tools }: MapDeskProps) {
  const edit = useMapEdit(draft.id);
  const isTurbine = isTurbineSheet(draft);
  const tabs = isTurbine ? TURBINE_TABS : TABS;
  const [pasting, setPasting] = useState<string | null>(null);
  const props = { draft, findings, desk, actions, edit };
  const catchTable = (event: ClipboardEvent) => {
    const target = event.target as HTMLElement;
    if (pasting !== null || desk.tab !== 'lines' || target.closest('textarea, input:not([data-column] input)')) return;
    const text = event.clipboardData.getData('text/plain');
    if (!isMapTable(text, isTurbine)) return;
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
        <h2 title={draft.source}>
          {draft.name}
          {'\u00a0 '}
          {draft.invented === true && <em className={styles.invented}>invented</em>}
        </h2>
        {tools}
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
              firstText={pasting}
              onTake={take}
              onCancel={() => setPasting(null)}
              onPreview={onPreview}
            />
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

/** The worst that the audit says of the parts under a tab. */
function WorstMark({ findings, parts }: Pick<MapDeskProps, 'findings'> & Pick<TabOf, 'parts'>) {
  const worst = findings.find((f) => f.severity !== 'note' && f.place && parts.includes(f.place.part));
  return (
    worst && (
      <span className={styles[worst.severity]}>
        <Icon name={worst.severity === 'error' ? 'stop' : 'caution'} />
        <span className={styles.hidden}>, {worst.severity}</span>
      </span>
    )
  );
}
