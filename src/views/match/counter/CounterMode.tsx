import {
  memo,
  type RefObject,
  useCallback,
  useEffect,
  useLayoutEffect,
  useMemo,
  useRef,
  useState,
  useSyncExternalStore,
} from 'react';
import { createPortal } from 'react-dom';
import { logsOf } from '../../../build/index.ts';
import { type MapChart, MapPlot, type MapPlotModel, type PlotExtent, type PlotSize } from '../../../plot/index.ts';
import {
  isSameStudy,
  selectActiveBuild,
  selectCandidates,
  selectUndoLabel,
  useActions,
  useLugline,
  useLuglineStore,
} from '../../../store/index.ts';
import { Icon } from '../../../widgets/index.ts';
import { summaryWords } from '../../shared/comparison.ts';
import { CAUTIONS, mapTitle, useResultUnits } from '../../shared/display.ts';
import { measuredSentence } from '../../shared/logSentences.ts';
import { Summary, useCompareUnits, useComparison, useNames } from '../drawer/DifferencePanels.tsx';
import { useSharedAxes } from '../map/Maps.tsx';
import type { Side } from '../model/side.ts';
import { verdictOf } from '../model/verdict.ts';
import { CandidateName, CandidateNumbers, useShow } from '../results/Candidates.tsx';
import { Scrubber } from '../results/Scrubber.tsx';
import { type ShownPair, useShownPair, useSides } from '../results/shownPair.ts';
import { Verdict } from '../results/signs.tsx';
import { CounterInputs } from './CounterInputs.tsx';
import styles from './counter.module.css';

/**
 * The match for a customer across the counter: large, and with nothing to enter but what he asks about. It works on the same build; every
 * change is a step of undo. Over everything else of the page, which cannot be reached meanwhile.
 */
export function CounterMode() {
  const { setUi } = useActions();
  const box = useRef<HTMLDivElement>(null);
  const leave = () => setUi({ isCounter: false });
  useWholeScreen(box, leave);
  return createPortal(
    <div ref={box} className={styles.counter} role="dialog" aria-modal="true" aria-label="Counter mode" tabIndex={-1}>
      <CounterBar onLeave={leave} />
      <Shown />
      <CounterInputs />
      <p className={styles.cautions}>{CAUTIONS}</p>
    </div>,
    document.body,
  );
}

/** Takes back what was changed here, and nothing from before. */
function CounterBar({ onLeave }: { onLeave: () => void }) {
  const store = useLuglineStore();
  const name = useLugline((state) => selectActiveBuild(state).name);
  const isInvented = useLugline((state) => selectActiveBuild(state).invented === true);
  const before = useRef(store.getState().history.past.at(-1));
  const undoLabel = useLugline((state) =>
    state.history.past.at(-1) === before.current ? null : selectUndoLabel(state),
  );
  return (
    <header className={styles.bar}>
      <h1 className="clip strong narrow grow">{name}</h1>
      {isInvented && <span className={styles.invented}>invented</span>}
      <button
        type="button"
        className={styles.button}
        disabled={undoLabel === null}
        aria-label={undoLabel === null ? 'Undo' : `Undo: ${undoLabel}`}
        onClick={() => store.getState().undo()}
      >
        <Icon name="undo" className={styles.icon} />
        <span className={styles.word}>Undo</span>
      </button>
      <button type="button" className={styles.leave} aria-label="Leave counter mode" onClick={onLeave}>
        <Icon name="cross" className={styles.icon} />
        Leave
      </button>
    </header>
  );
}

function Shown() {
  const isEmpty = useLugline((state) => selectCandidates(state).length === 0);
  const pair = useShownPair();
  if (pair !== null) return <Panels {...pair} />;
  return isEmpty && <p className="soft">This build has no candidate yet. Leave counter mode and add one.</p>;
}

function Panels(pair: ShownPair) {
  const { shown, second, a } = pair;
  const { sideA, sideB, side, rpm, choose } = useSides(pair, a.surface?.reference ?? null);
  const sides = second === null ? [sideA] : [sideA, sideB];
  const axes = useSharedAxes(...sides);
  // Beside each other they are held against each other; one alone takes the room that there is.
  const isPairSeen = useSyncExternalStore(onWidth, isWide);
  const show = useShow(shown);
  const go = useCallback(
    (part: { index: number; engineSpeedRpm: number | null }) => {
      if (part.index !== shown) show(part.index);
      if (part.engineSpeedRpm !== null) choose(part.engineSpeedRpm);
    },
    [shown, show, choose],
  );
  return (
    <>
      <div className={styles.verdict}>
        <Verdict parts={verdictOf(sides)} onGo={go} />
      </div>
      <div className={styles.maps}>
        {sides.map((one) => (
          <div key={one.letter} className={styles.candidate} data-shown={one === side || undefined}>
            <CandidateName index={one.index} isShown={one === side} onShow={show} />
            <CounterMap side={one} axes={isPairSeen ? axes : undefined} />
            <CandidateNumbers point={one.point} />
            <Measured index={one.index} />
          </div>
        ))}
      </div>
      <div className={styles.speed}>
        <Scrubber sides={sides} points={side.results.points} engineSpeedRpm={rpm} onChoose={choose} ref={null} />
      </div>
      {second !== null && <CounterSummary first={sideA} second={sideB} />}
    </>
  );
}

/** As in the style sheet: from here on both maps are seen. */
const wide = () => globalThis.matchMedia?.('(min-width: 1600px)');
const isWide = () => wide()?.matches ?? false;
const onWidth = (changed: () => void) => {
  const width = wide();
  width?.addEventListener('change', changed);
  return () => width?.removeEventListener('change', changed);
};

/** What a road log that was read says of the candidate as it stands; nothing where none does. */
function Measured({ index }: { index: number }) {
  const units = useResultUnits();
  const study = useLugline(({ studies, ...state }) => {
    const { result } = studies.log;
    const build = state.workspace.builds[state.workspace.activeBuildId];
    const isOfThese =
      result?.candidateIndex === index && build !== undefined && isSameStudy('log', result.build, build);
    return isOfThese && logsOf(build).some(({ id }) => id === result.record.id) ? result : null;
  });
  return study?.result ? <p className="soft">{measuredSentence(study.result, units)}</p> : null;
}

/** As many sentences of a kind are read at a glance; the drawer of the Match view has them all. */
const MOST = 3;

/** The two held against each other in plain words, the one listed first being the one that is known. */
function CounterSummary({ first, second }: { first: Side; second: Side }) {
  const names = useNames(first.index, second.index);
  const units = useCompareUnits();
  const comparison = useComparison([first.index, second.index])?.comparison ?? null;
  const summary = useMemo(() => comparison && summaryWords(comparison, names, units), [comparison, names, units]);
  const watch = second.words.filter(({ severity }) => severity === 'stop' || severity === 'caution');
  if (summary === null) return null;
  return (
    <div className={styles.summary}>
      <Summary summary={summary} watch={watch} name={names[1]} most={MOST} />
    </div>
  );
}

/**
 * Gives an element all of the page, and all of the screen where the browser allows it; everything else cannot be reached meanwhile.
 * Escape, or leaving the full screen by the browser's own means, calls `onLeave`; the keyboard goes back where it came from.
 */
function useWholeScreen(box: RefObject<HTMLElement | null>, onLeave: () => void): void {
  const newest = useRef(onLeave);
  newest.current = onLeave;
  useEffect(() => {
    const element = box.current;
    if (element === null) return;
    const before = document.activeElement;
    const others = [...document.body.children].filter((other) => other !== element && other instanceof HTMLElement);
    const reached = others.filter((other) => !other.hasAttribute('inert'));
    for (const other of reached) other.setAttribute('inert', '');
    element.focus({ preventScroll: true });
    const endFullScreen = takeFullScreen(() => newest.current());
    const key = (event: KeyboardEvent) => {
      if (event.key !== 'Escape') return;
      event.preventDefault();
      newest.current();
    };
    window.addEventListener('keydown', key);
    return () => {
      window.removeEventListener('keydown', key);
      endFullScreen();
      for (const other of reached) other.removeAttribute('inert');
      if (before instanceof HTMLElement) before.focus({ preventScroll: true });
    };
  }, [box]);
}

/** Asks for the full screen; a browser that refuses changes nothing. In full screen the browser keeps the first Escape to itself. */
function takeFullScreen(onLeft: () => void): () => void {
  const root = document.documentElement;
  let isOurs = false;
  let isOver = false;
  const changed = () => {
    if (document.fullscreenElement === root) isOurs = true;
    else if (isOurs && !isOver) onLeft();
  };
  document.addEventListener('fullscreenchange', changed);
  if (document.fullscreenElement === null) root.requestFullscreen?.()?.catch(() => undefined);
  return () => {
    isOver = true;
    document.removeEventListener('fullscreenchange', changed);
    if (isOurs && document.fullscreenElement !== null) document.exitFullscreen().catch(() => undefined);
  };
}

/** Size of the plot's own texts: the drawing is enlarged until they are as large as all others here. */
const PLOT_TEXT_PX = 13;

/** Without what only the workshop asks about: shaft speeds, and how a ratio is measured. */
function plainChart(chart: MapChart): MapChart {
  const speedLines = chart.speedLines.map((line) => ({ ...line, label: '' }));
  return { ...chart, speedLines, ratioAxis: { title: 'Pressure ratio' } };
}

/** The map of a candidate, drawn small and enlarged. It is looked at, not operated: nothing zooms by accident. */
export const CounterMap = memo(function CounterMap({ side, axes }: { side: Side; axes: PlotExtent | undefined }) {
  const { chart, lines, focus, letter, results } = side;
  const holder = useRef<HTMLDivElement>(null);
  const [size, setSize] = useState<PlotSize | null>(null);
  useLayoutEffect(() => {
    const element = holder.current;
    if (element === null) return;
    const measure = () => {
      const scale = Number.parseFloat(getComputedStyle(element).fontSize) / PLOT_TEXT_PX || 1;
      const next = { width: Math.floor(element.clientWidth / scale), height: Math.floor(element.clientHeight / scale) };
      setSize((before) => (before?.width === next.width && before.height === next.height ? before : next));
    };
    measure();
    const observer = new ResizeObserver(measure);
    observer.observe(element);
    return () => observer.disconnect();
  }, []);
  const model = useMemo(
    (): MapPlotModel | null =>
      chart && { chart: plainChart(chart), operatingLines: lines, places: [], focus, axes, wordsElsewhere: true },
    [chart, lines, focus, axes],
  );
  const label = `Compressor map of candidate ${letter}, ${mapTitle(results.candidate)}`;
  return (
    <section className={styles.map} aria-label={`Map of candidate ${letter}`}>
      <div className={styles.stage}>
        <div ref={holder} className={styles.plot}>
          {model === null && <p className="soft">{results.problems[0]?.message ?? 'This candidate has no map yet.'}</p>}
          {model !== null && size !== null && size.width > 0 && <MapPlot model={model} size={size} label={label} />}
        </div>
      </div>
    </section>
  );
});
