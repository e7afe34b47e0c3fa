import { type RefObject, useDeferredValue, useEffect, useLayoutEffect, useMemo, useRef, useState } from 'react';
import { type Build, setBuildField } from '../../build/index.ts';
import {
  isSameStudy,
  selectCandidateFigures,
  selectCandidateResults,
  selectComparison,
  selectDayAir,
  selectShownCandidate,
  type TableStudy,
  useApply,
  useBuild,
  useBuildField,
  useLugline,
  useLuglineStore,
  useSettings,
} from '../../store/index.ts';
import { counted, joined } from '../../units/index.ts';
import { Button } from '../../widgets/index.ts';
import { comparedPair } from '../shared/display.ts';
import { PROGRAM_VERSION } from '../shared/fileNotes.ts';
import { ToolSelect } from '../shared/ToolBar.tsx';
import { presentRecord } from './model/filing.ts';
import { PAPERS, type Paper, PX_PER_MM } from './model/paper.ts';
import type { SheetInput } from './model/sheetModel.ts';
import { SheetPages } from './paper/SheetPages.tsx';
import styles from './sheet.module.css';
import { SheetSidebar } from './sidebar/SheetSidebar.tsx';

/** What stands on the match sheet at the left, the sheet itself at the right: what is seen is what is printed. */
export function SheetView() {
  const buildId = useLugline((state) => state.workspace.activeBuildId);
  const input = useSheetInput();
  usePrintedAlone();
  return (
    <div className={styles.view}>
      <SheetSidebar key={`fields-${buildId}`} record={input.record} />
      <Preview key={buildId} present={input} />
    </div>
  );
}

/** While this view is open, printing the page prints the sheet. */
function usePrintedAlone(): void {
  useEffect(() => {
    document.body.dataset.printing = 'match-sheet';
    return () => {
      delete document.body.dataset.printing;
    };
  }, []);
}

type Zoom = 'width' | 'page' | 'life';

const ZOOMS: readonly { key: Zoom; name: string }[] = [
  { key: 'width', name: 'Fit the width' },
  { key: 'page', name: 'Whole page' },
  { key: 'life', name: 'Life size' },
];

const CANDIDATES = [
  { key: 'both', name: 'Both candidates' },
  { key: 'one', name: 'The shown candidate' },
] as const;

const PAPER_CHOICES = [
  { key: 'a4', name: PAPERS.a4.name },
  { key: 'letter', name: PAPERS.letter.name },
] as const;

/** The sheet at true proportions, and the button that prints it. */
export function Preview({ present }: { present: SheetInput }) {
  const input = useDeferredValue(present);
  const apply = useApply();
  const paper = useBuildField('sheet.paper');
  const candidates = useBuildField('sheet.candidates');
  const [zoom, setZoom] = useState<Zoom>('width');
  const [pages, setPages] = useState({ all: 0, ofSheet: 0 });
  const pane = useRef<HTMLElement>(null);
  const scale = useScale(pane, PAPERS[input.build.sheet.paper], zoom);
  usePrintTitle(input.build);
  const { study, table } = input;
  const isWaiting = study.problem === null && !study.isCurrent;
  const isTableWaiting = table !== undefined && table.problem === null && table.study === null;
  return (
    <section className="pane ui-grid top-pane" aria-label="The sheet as it is printed">
      <div className={styles.bar}>
        <ToolSelect
          name="Paper"
          value={paper}
          options={PAPER_CHOICES}
          onChange={(key) => apply(setBuildField('sheet.paper', key))}
        />
        <ToolSelect
          name="Candidates on the sheet"
          value={candidates}
          options={CANDIDATES}
          onChange={(key) => apply(setBuildField('sheet.candidates', key))}
        />
        <ToolSelect name="Size of the preview" value={zoom} options={ZOOMS} onChange={setZoom} />
        <p className={styles.state} role="status" data-waiting={isWaiting || isTableWaiting || undefined}>
          {isWaiting
            ? 'The calibration table is being computed …'
            : isTableWaiting
              ? 'The control unit table is being computed …'
              : counted(pages.all, 'page')}
          {pages.ofSheet > 2 &&
            ': more than two. Shorten remarks and lists, show fewer places, or print one candidate.'}
        </p>
        <Button variant="primary" isDisabled={isWaiting || isTableWaiting} onPress={() => window.print()}>
          Print
        </Button>
      </div>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a box that scrolls must be reachable by keyboard */}
      <section ref={pane} className={styles.pane} tabIndex={0} aria-label="Pages">
        <SheetPages input={input} scale={scale} onPages={setPages} />
      </section>
    </section>
  );
}

const PANE_PADDING = 16;

/** How large the paper is shown so that it fits; follows the pane. */
function useScale(pane: RefObject<HTMLElement | null>, paper: Paper, zoom: Zoom): number {
  const [room, setRoom] = useState({ width: 800, height: 1000 });
  useLayoutEffect(() => {
    const element = pane.current;
    if (element === null) return;
    const read = () => setRoom({ width: element.clientWidth, height: element.clientHeight });
    read();
    if (typeof ResizeObserver === 'undefined') return;
    const observer = new ResizeObserver(read);
    observer.observe(element);
    return () => observer.disconnect();
  }, [pane]);
  if (zoom === 'life') return 1;
  const wide = (room.width - 2 * PANE_PADDING) / (paper.widthMm * PX_PER_MM);
  const high = (room.height - 2 * PANE_PADDING) / (paper.heightMm * PX_PER_MM);
  const scale = zoom === 'width' ? wide : Math.min(wide, high);
  return Math.min(1.6, Math.max(0.25, scale));
}

/** Everything that the sheet shows, of one state of the build; the same object while nothing of it changed. */
function useSheetInput(): SheetInput {
  const store = useLuglineStore();
  const build = useBuild();
  const settings = useSettings();
  const shown = useLugline(selectShownCandidate);
  const { result, problem } = useLugline((state) => state.studies.altitude);
  const log = useLugline((state) => state.studies.log.result);
  const { result: table, problem: tableProblem } = useLugline((state) => state.studies.table);
  return useMemo(() => {
    const state = store.getState();
    const pair = build.sheet.candidates === 'both' ? comparedPair(settings, build.candidates.length) : null;
    const indices = pair ?? (shown === null ? [] : [shown]);
    const all = build.candidates.flatMap((_, i) => selectCandidateResults(state, i) ?? []);
    return {
      build,
      settings,
      day: selectDayAir(state),
      candidates: indices.flatMap((index) => {
        const results = selectCandidateResults(state, index);
        return results === null ? [] : [{ index, results, figures: selectCandidateFigures(state, index) }];
      }),
      comparison: pair === null ? null : selectComparison(state, pair[0], pair[1], true),
      study: { result, isCurrent: result !== null && isSameStudy('altitude', result.build, build), problem },
      log,
      ...(build.sheet.controlTable && {
        table: { study: isTableOf(table, build, shown) ? table : null, problem: tableProblem },
      }),
      record: presentRecord(build, PROGRAM_VERSION, all),
    };
  }, [store, build, settings, shown, result, problem, log, table, tableProblem]);
}

function isTableOf(table: TableStudy | null, build: Build, index: number | null): boolean {
  return table !== null && table.candidateIndex === index && isSameStudy('table', table.build, build);
}

/** While it prints, the page is called what the file should be called when it is printed to one. */
function usePrintTitle({ name, sheet: { customerReference } }: Build): void {
  useEffect(() => {
    const title = joined(['Match sheet', name, customerReference.trim()], ' - ');
    let before: string | null = null;
    const begin = () => {
      before ??= document.title;
      document.title = title;
    };
    const end = () => {
      if (before !== null) document.title = before;
      before = null;
    };
    window.addEventListener('beforeprint', begin);
    window.addEventListener('afterprint', end);
    return () => {
      end();
      window.removeEventListener('beforeprint', begin);
      window.removeEventListener('afterprint', end);
    };
  }, [name, customerReference]);
}
