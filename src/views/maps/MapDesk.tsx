import { type ClipboardEvent, type ReactNode, useState } from 'react';
import { isTurbineSheet, type MapDraft } from '../../build/index.ts';
import type { AuditFinding, SheetPlace } from '../../compressor/index.ts';
import { Icon } from '../../widgets/index.ts';
import styles from './maps.module.css';
import { isMapTable } from './paste/isMapTable.ts';
import { PastePanel } from './paste/PastePanel.tsx';
import { IslandsPanel } from './tables/IslandsPanel.tsx';
import { LinesPanel } from './tables/LinesPanel.tsx';
import { SheetPanel } from './tables/SheetPanel.tsx';
import { SurgePanel } from './tables/SurgePanel.tsx';
import type { Desk, DeskActions, DeskTab } from './useDesk.ts';
import { useMapEdit } from './useMapEdit.ts';

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
  return (
    <section className={styles.desk} aria-label={`Tables of '${draft.name}'`} onPasteCapture={catchTable}>
      <header className={styles.deskHead}>
        <div className={styles.deskName}>
          <h2 title={draft.source}>
            {draft.name}
            {'\u00a0 '}
            {draft.invented === true && <em className={styles.invented}>invented</em>}
          </h2>
          {tools}
        </div>
        {pasting === null && <Tabs tabs={tabs} findings={findings} desk={desk} actions={actions} />}
      </header>
      <div
        // Another table begins at its top.
        key={pasting === null ? desk.tab : 'paste'}
        className={styles.deskBody}
        {...(pasting === null && { role: 'tabpanel', id: 'map-tables', 'aria-labelledby': `map-tab-${desk.tab}` })}
      >
        {pasting !== null ? (
          <PastePanel
            draft={draft}
            firstText={pasting}
            onTake={take}
            onCancel={() => setPasting(null)}
            onPreview={onPreview}
          />
        ) : desk.tab === 'sheet' ? (
          <SheetPanel {...props} />
        ) : desk.tab === 'lines' ? (
          <LinesPanel {...props} onPasteTable={() => setPasting('')} />
        ) : desk.tab === 'surge' ? (
          <SurgePanel {...props} />
        ) : (
          <IslandsPanel {...props} />
        )}
      </div>
    </section>
  );
}

function Tabs({
  tabs,
  findings,
  desk,
  actions,
}: Pick<MapDeskProps, 'findings' | 'desk' | 'actions'> & { tabs: readonly TabOf[] }) {
  const move = (from: number, by: number) => {
    const next = tabs[(from + by + tabs.length) % tabs.length]!;
    actions.set({ tab: next.key });
    document.getElementById(`map-tab-${next.key}`)?.focus();
  };
  return (
    <div role="tablist" aria-label="Parts of the sheet" className={styles.tabs}>
      {tabs.map(({ key, name, parts }, i) => {
        const worst = findings.find((f) => f.severity !== 'note' && f.place && parts.includes(f.place.part));
        return (
          <button
            key={key}
            id={`map-tab-${key}`}
            type="button"
            role="tab"
            aria-selected={desk.tab === key}
            aria-controls="map-tables"
            tabIndex={desk.tab === key ? 0 : -1}
            className={styles.tab}
            onClick={() => actions.set({ tab: key })}
            onKeyDown={(event) => {
              if (event.key === 'ArrowRight') move(i, 1);
              if (event.key === 'ArrowLeft') move(i, -1);
            }}
          >
            {name}
            {worst && (
              <span className={styles[worst.severity]}>
                <Icon name={worst.severity === 'error' ? 'stop' : 'caution'} />
                <span className={styles.hidden}>, {worst.severity}</span>
              </span>
            )}
          </button>
        );
      })}
    </div>
  );
}
