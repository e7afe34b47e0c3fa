import { useRef } from 'react';
import { fieldRules, setCurve, type TypedCurve } from '../../../build/index.ts';
import type { GoalKind } from '../../../match/index.ts';
import { useApply, useBuildField } from '../../../store/index.ts';
import { fromSi } from '../../../units/index.ts';
import styles from './counter.module.css';
import { goalPeak, goalStep, goalWords, steppedGoal } from './model/steppedGoal.ts';
import { Stepper } from './Stepper.tsx';

const NAMES: Readonly<Record<GoalKind, string>> = {
  'gauge-boost': 'Boost, at its peak',
  'manifold-pressure': 'Manifold pressure, at its peak',
  'brake-power': 'Power at the crankshaft, at its peak',
  'wheel-power': 'Power at the wheels, at its peak',
};

/** The whole curve of the goal raised or lowered in proportion, by its peak. As many steps back give the very texts that stood there. */
export function CounterGoal() {
  const kind = useBuildField('goal.kind');
  return <GoalOfKind key={kind} kind={kind} />;
}

function GoalOfKind({ kind }: { kind: GoalKind }) {
  const path = `goal.curves.${kind}` as const;
  const curve = useBuildField(path);
  const apply = useApply();
  // What the steps are counted from: the curve as it was entered. A curve that was changed otherwise, by undo for one, is a new start.
  const counted = useRef<{ from: TypedCurve; steps: number; rows: TypedCurve['rows'] } | null>(null);
  const { quantity, high } = fieldRules[path];
  const peak = goalPeak(curve, quantity);
  const size = goalStep(quantity, curve.unit);
  const step = (way: 1 | -1) => {
    const start = counted.current?.rows === curve.rows ? counted.current : { from: curve, steps: 0, rows: curve.rows };
    const steps = start.steps + way;
    const rows = steppedGoal(start.from, quantity, steps);
    counted.current = { from: start.from, steps, rows };
    apply(setCurve(path, rows));
  };
  const highest = fromSi(high, quantity, curve.unit);
  return (
    <Stepper
      name={NAMES[kind]}
      words={goalWords(peak, quantity, curve.unit)}
      down={peak !== null && peak - size > 0 ? () => step(-1) : null}
      up={peak !== null && peak + size <= highest ? () => step(1) : null}
    >
      <p className={styles.hint}>The whole curve follows its peak.</p>
    </Stepper>
  );
}
