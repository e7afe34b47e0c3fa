import { memo, type RefObject, useEffect, useMemo, useRef } from 'react';
import { createPortal } from 'react-dom';
import { changeSettings } from '../../../build/index.ts';
import {
  type CandidateResults,
  selectActiveBuild,
  selectCandidates,
  selectShownCandidate,
  selectUndoLabel,
  useActions,
  useApply,
  useCandidateResults,
  useLugline,
  useSettings,
} from '../../../store/index.ts';
import { Icon } from '../../../widgets/index.ts';
import { headline, verdict } from '../../shared/candidateSummary.ts';
import { summaryWords } from '../../shared/comparison.ts';
import { useResultUnits } from '../../shared/display.ts';
import { findingWords } from '../../shared/findingWords.ts';
import { CAUTIONS, candidateLetter, comparedPair, isEstimated } from '../../shared/provenance.ts';
import { Summary, useCompareUnits, useComparison, useNames } from '../compare/DifferencePanels.tsx';
import { LineSign } from '../results/CandidateStrip.tsx';
import { SeveritySign } from '../results/Findings.tsx';
import { CounterInputs } from './CounterInputs.tsx';
import { CounterMap } from './CounterMap.tsx';
import styles from './counter.module.css';

/**
 * The match for a customer across the counter: large, and with nothing to enter but what he asks about. It works on the same build; every
 * change is a step of undo. Over everything else of the page, which cannot be reached meanwhile.
 */
export function CounterMode() {
  const { setUi, undo } = useActions();
  const box = useRef<HTMLDivElement>(null);
  const leave = () => setUi({ isCounter: false });
  useWholeScreen(box, leave);
  return createPortal(
    <div ref={box} className={styles.counter} role="dialog" aria-modal="true" aria-label="Counter mode" tabIndex={-1}>
      <CounterBar onLeave={leave} onUndo={undo} />
      <CounterInputs />
      <Shown />
      <p className={styles.cautions}>{CAUTIONS}</p>
    </div>,
    document.body,
  );
}

function CounterBar({ onLeave, onUndo }: { onLeave: () => void; onUndo: () => void }) {
  const name = useLugline((state) => selectActiveBuild(state).name);
  const isInvented = useLugline((state) => selectActiveBuild(state).invented === true);
  const undoLabel = useLugline(selectUndoLabel);
  return (
    <header className={styles.bar}>
      <h1 className={styles.name}>{name}</h1>
      {isInvented && <span className={styles.invented}>invented</span>}
      <span className={styles.spring} />
      <button type="button" className={styles.button} disabled={undoLabel === null} onClick={onUndo}>
        <Icon name="undo" className={styles.icon} />
        Undo{undoLabel === null ? '' : `: ${undoLabel}`}
      </button>
      <button type="button" className={styles.leave} onClick={onLeave}>
        <Icon name="cross" className={styles.icon} />
        Leave counter mode
        <kbd className={styles.key}>Esc</kbd>
      </button>
    </header>
  );
}

function Shown() {
  const count = useLugline((state) => selectCandidates(state).length);
  const shown = useLugline(selectShownCandidate);
  const pair = comparedPair(useSettings(), count);
  if (shown === null)
    return <p className={styles.nothing}>This build has no candidate yet. Leave counter mode and add one.</p>;
  return (
    <>
      <CounterMap key={shown} index={shown} style={pair !== null && shown === pair[1] ? 'b' : 'a'} />
      <div className={styles.side}>
        <CounterCandidates shown={shown} pair={pair} />
        {pair !== null && <CounterSummary key={pair.join()} pair={pair} />}
      </div>
    </>
  );
}

/**
 * Gives an element all of the page, and all of the screen where the browser allows it; everything else cannot be reached meanwhile.
 * Escape, or leaving the full screen by the browser's own means, calls `onLeave`; the keyboard goes back where it came from.
 */
export function useWholeScreen(box: RefObject<HTMLElement | null>, onLeave: () => void): void {
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

interface Props {
  shown: number;
  pair: readonly [number, number] | null;
}

/** The candidates as large cards; pressing one shows its map. The pair that is compared stays, whichever of the two is shown. */
export function CounterCandidates({ shown, pair }: Props) {
  const apply = useApply();
  const count = useLugline((state) => selectCandidates(state).length);
  const indices = pair ?? [shown];
  const others = Array.from({ length: count }, (_, index) => index).filter((index) => !indices.includes(index));
  const show = (index: number) => {
    const [first, second] = pair ?? [index, index];
    const other = index === first ? second : first;
    apply(
      changeSettings(pair === null ? { shownCandidate: index } : { shownCandidate: index, comparedCandidate: other }),
    );
  };
  return (
    <section className={styles.candidates} aria-label="Candidates">
      {[...indices]
        .sort((a, b) => a - b)
        .map((index) => (
          <Candidate
            key={index}
            index={index}
            style={pair !== null && index === pair[1] ? 'b' : 'a'}
            isShown={index === shown}
            onShow={show}
          />
        ))}
      {others.length > 0 && (
        <p className={styles.others}>
          {others.map((index) => (
            <OtherCandidate key={index} index={index} onShow={show} />
          ))}
        </p>
      )}
    </section>
  );
}

interface CandidateProps {
  index: number;
  style: 'a' | 'b';
  isShown: boolean;
  onShow: (index: number) => void;
}

function Candidate(props: CandidateProps) {
  const results = useCandidateResults(props.index);
  return results && <CandidateFace {...props} results={results} />;
}

const CandidateFace = memo(
  function CandidateFace({ index, style, isShown, onShow, results }: CandidateProps & { results: CandidateResults }) {
    const units = useResultUnits();
    const { candidate, points, findings, problems } = results;
    const said = useMemo(() => verdict(findings), [findings]);
    const numbers = useMemo(() => headline(points, units), [points, units]);
    return (
      <button type="button" className={styles.candidate} aria-pressed={isShown} onClick={() => onShow(index)}>
        <span className={styles.candidateName}>
          <LineSign style={style} />
          <b>{candidateLetter(index)}</b>
          <span className={styles.title}>{candidate.name}</span>
          {isEstimated(candidate) && <span className={styles.estimate}>estimate</span>}
          {said !== null && (
            <span className={styles.verdict} data-severity={said.severity}>
              <SeveritySign severity={said.severity} className={styles.verdictSign} />
              {said.words}
            </span>
          )}
        </span>
        {results.input === null ? (
          <span className={styles.hint}>{problems[0]?.message}</span>
        ) : (
          <span className={styles.figures}>
            {numbers.map(({ key, shortTitle, value, detail }) => (
              <span key={key} className={styles.figure}>
                <span className={styles.figureTitle}>{shortTitle}</span>
                <b>{value}</b>
                <span className={styles.figureTitle}>{detail}</span>
              </span>
            ))}
          </span>
        )}
      </button>
    );
  },
  (before, now) =>
    before.results === now.results &&
    before.style === now.style &&
    before.isShown === now.isShown &&
    before.index === now.index,
);

/** One that is kept in the build but not compared just now. */
function OtherCandidate({ index, onShow }: { index: number; onShow: (index: number) => void }) {
  const name = useLugline((state) => selectCandidates(state)[index]?.name ?? '');
  return (
    <button type="button" className={styles.button} onClick={() => onShow(index)}>
      {candidateLetter(index)} {name}
    </button>
  );
}

/** As many sentences of a kind can be read at a glance; the table of the Match view has them all. */
const MOST = 5;

/** The two held against each other in plain words, the one listed first being the one that is known. */
export function CounterSummary({ pair }: { pair: readonly [number, number] }) {
  const [first, second] = pair[0] < pair[1] ? pair : [pair[1], pair[0]];
  const names = useNames(first, second);
  const comparison = useComparison([first, second])?.comparison ?? null;
  const units = useCompareUnits();
  const results = useResultUnits();
  const watched = useCandidateResults(second);
  const findings = watched?.findings;
  const watch = useMemo(
    () => findingWords(findings ?? [], results).filter(({ severity }) => severity === 'stop' || severity === 'caution'),
    [findings, results],
  );
  const summary = useMemo(() => comparison && summaryWords(comparison, names, units), [comparison, names, units]);
  if (summary === null) return null;
  return (
    <div className={styles.summary}>
      <Summary summary={summary} watch={watch} name={names[1]} most={MOST} />
    </div>
  );
}
