import { useBuildField } from '../../../store/index.ts';
import { BoundChoice } from '../../shared/BoundChoice.tsx';
import { goalSummary } from '../model/inputSummaries.ts';
import { CurveEditor } from './CurveEditor.tsx';
import { InputGroup } from './InputGroup.tsx';
import styles from './sidebar.module.css';

const GOALS = [
  { key: 'gauge-boost', name: 'Gauge boost' },
  { key: 'manifold-pressure', name: 'Manifold pressure, absolute' },
  { key: 'brake-power', name: 'Power at the crankshaft' },
  { key: 'wheel-power', name: 'Power at the wheels' },
] as const;

const NOTES: Readonly<Record<(typeof GOALS)[number]['key'], string>> = {
  'gauge-boost': 'Held over the ambient of the day: the manifold pressure falls with altitude.',
  'manifold-pressure': 'Held whatever the ambient: the compressor works harder with altitude.',
  'brake-power': 'The boost that gives this power is found at every engine speed.',
  'wheel-power': 'The boost that gives this power is found at every engine speed.',
};

/** What the engine is asked for, over engine speed. Every kind keeps its own curve. */
export function GoalGroup() {
  const kind = useBuildField('goal.kind');
  return (
    <InputGroup title="Goal" summary={goalSummary} openAtFirst>
      <BoundChoice stacked label="Goal over engine speed" path="goal.kind" options={GOALS} />
      <p className={styles.note}>{NOTES[kind]}</p>
      <CurveEditor
        key={kind}
        path={`goal.curves.${kind}`}
        title={GOALS.find((goal) => goal.key === kind)?.name ?? ''}
      />
    </InputGroup>
  );
}
