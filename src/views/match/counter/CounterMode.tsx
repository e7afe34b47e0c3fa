import { useRef } from 'react';
import { createPortal } from 'react-dom';
import {
  selectActiveBuild,
  selectCandidates,
  selectShownCandidate,
  selectUndoLabel,
  useActions,
  useLugline,
  useSettings,
} from '../../../store/index.ts';
import { Icon } from '../../../widgets/index.ts';
import { CAUTIONS } from '../../shared/cautions.ts';
import { comparedPair } from '../../shared/comparedPair.ts';
import { CounterCandidates } from './CounterCandidates.tsx';
import { CounterInputs } from './CounterInputs.tsx';
import { CounterMap } from './CounterMap.tsx';
import { CounterSummary } from './CounterSummary.tsx';
import styles from './counter.module.css';
import { useWholeScreen } from './useWholeScreen.ts';

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
