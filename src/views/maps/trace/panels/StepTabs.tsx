import { Icon } from '../../../../widgets/index.ts';
import mapStyles from '../../maps.module.css';
import styles from '../trace.module.css';

export type TraceStep = 'picture' | 'axes' | 'trace' | 'complete' | 'check';

const STEPS: readonly { key: TraceStep; name: string }[] = [
  { key: 'picture', name: 'Picture' },
  { key: 'axes', name: 'Axes' },
  { key: 'trace', name: 'Trace' },
  { key: 'complete', name: 'Complete' },
  { key: 'check', name: 'Check' },
];

/** The steps of tracing. What is done has a tick; none is locked. */
export function StepTabs(props: {
  step: TraceStep;
  onStep: (step: TraceStep) => void;
  done: { picture: boolean; axes: boolean };
  /** What is completed is a compressor map's alone. */
  isTurbine: boolean;
}) {
  const { step, onStep, done } = props;
  const steps = props.isTurbine ? STEPS.filter(({ key }) => key !== 'complete') : STEPS;
  const move = (from: number, by: number) => {
    const next = steps[(from + by + steps.length) % steps.length]!;
    onStep(next.key);
    document.getElementById(`trace-step-${next.key}`)?.focus();
  };
  return (
    <div role="tablist" aria-label="Steps of tracing" className={styles.steps}>
      {steps.map(({ key, name }, i) => (
        <button
          key={key}
          id={`trace-step-${key}`}
          type="button"
          role="tab"
          aria-selected={step === key}
          tabIndex={step === key ? 0 : -1}
          className={`${mapStyles.tab} ${styles.step}`}
          onClick={() => onStep(key)}
          onKeyDown={(event) => {
            if (event.key === 'ArrowRight') move(i, 1);
            if (event.key === 'ArrowLeft') move(i, -1);
          }}
        >
          {name}
          {(key === 'picture' || key === 'axes') && done[key] && <Icon name="check" />}
        </button>
      ))}
    </div>
  );
}
