import { type RefObject, useDeferredValue, useLayoutEffect, useRef, useState } from 'react';
import { setBuildField } from '../../build/index.ts';
import { useApply, useBuildField } from '../../store/index.ts';
import { Button } from '../../widgets/index.ts';
import { ToolSelect } from '../shared/ToolBar.tsx';
import { PAPERS, type Paper, PX_PER_MM } from './model/paper.ts';
import type { SheetInput } from './model/sheetModel.ts';
import { SheetPages } from './paper/SheetPages.tsx';
import styles from './sheet.module.css';
import { usePrintTitle } from './usePrintTitle.ts';

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
  const [count, setCount] = useState(0);
  const pane = useRef<HTMLElement>(null);
  const scale = useScale(pane, PAPERS[input.build.sheet.paper], zoom);
  usePrintTitle(input.build);
  const { study } = input;
  const isWaiting = study.problem === null && !study.isCurrent;
  return (
    <section className={styles.preview} aria-label="The sheet as it is printed">
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
        <p className={styles.state} role="status" data-waiting={isWaiting || undefined}>
          {isWaiting ? 'The calibration table is being computed …' : `${count} ${count === 1 ? 'page' : 'pages'}`}
          {count > 2 && ': more than two. Shorten remarks and lists, show fewer places, or print one candidate.'}
        </p>
        <Button variant="primary" isDisabled={isWaiting} onPress={() => window.print()}>
          Print
        </Button>
      </div>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a box that scrolls must be reachable by keyboard */}
      <section ref={pane} className={styles.pane} tabIndex={0} aria-label="Pages">
        <SheetPages input={input} scale={scale} onPages={setCount} />
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
