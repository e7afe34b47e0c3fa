import styles from './app.module.css';

export interface HistoryStep {
  /** What the step does, in the words of the command: 'change altitude'. null: nothing to undo or redo. */
  label: string | null;
  run: () => void;
}

/** Undo and redo with the words of the step that they take; the words also stand in the accessible name. */
export function HistoryButtons({ undo, redo }: { undo: HistoryStep; redo: HistoryStep }) {
  return (
    <div className={styles.group}>
      <StepButton
        word="Undo"
        keys="Ctrl+Z"
        step={undo}
        path="M6 4 2.500 7.500 6 11M3 7.500h6.500a3.500 3.500 0 0 1 0 7H7"
      />
      <StepButton
        word="Redo"
        keys="Ctrl+Shift+Z"
        step={redo}
        path="M10 4l3.500 3.500L10 11M13 7.500H6.500a3.500 3.500 0 0 0 0 7H9"
      />
    </div>
  );
}

function StepButton({ word, keys, step, path }: { word: string; keys: string; step: HistoryStep; path: string }) {
  const title = step.label === null ? `Nothing to ${word.toLowerCase()}` : `${word}: ${step.label} (${keys})`;
  return (
    <span title={title}>
      <button
        type="button"
        className={styles.quiet}
        aria-label={title}
        disabled={step.label === null}
        onClick={step.run}
      >
        <svg
          className={styles.icon}
          viewBox="0 0 16 16"
          aria-hidden="true"
          fill="none"
          stroke="currentColor"
          strokeWidth="1.5"
        >
          <path d={path} />
        </svg>
        {word}
      </button>
    </span>
  );
}
