import { useMemo } from 'react';
import {
  selectCandidateResults,
  selectCandidates,
  selectShownCandidate,
  useBuildField,
  useLugline,
} from '../../../store/index.ts';
import { BoundChoice } from '../../shared/BoundChoice.tsx';
import { BoundQuantity } from '../../shared/BoundQuantity.tsx';
import { useResultUnits } from '../../shared/resultUnits.ts';
import { exhaustSummary, inletTemperatureWords } from '../model/inputSummaries.ts';
import { CurveEditor } from './CurveEditor.tsx';
import { InputGroup } from './InputGroup.tsx';
import styles from './sidebar.module.css';

const TEMPERATURES = [
  { key: 'estimated', name: 'Estimated' },
  { key: 'entered', name: 'Entered' },
] as const;

/** From the exhaust ports to the tailpipe, the turbine itself apart: that belongs to the candidate. */
export function ExhaustGroup() {
  const kind = useBuildField('exhaust.inletTemperature.kind');
  const isUsed = useLugline((state) => selectCandidates(state).some(({ turbine }) => turbine.source !== 'none'));
  return (
    <InputGroup title="Exhaust" summary={exhaustSummary}>
      {!isUsed && <p className={styles.note}>Used once the turbine of a candidate is known.</p>}
      <BoundQuantity
        label="Pressure loss"
        path="exhaust.loss"
        help="Of the whole system behind the turbine: pipes, catalyst, silencer."
      />
      <BoundQuantity label="… at exhaust flow" path="exhaust.atFlow" />
      <BoundQuantity
        label="… at gas density"
        path="exhaust.atDensity"
        help="Of the hot gas while it was measured: about a quarter of that of air."
      />
      <BoundChoice
        stacked
        label="Turbine inlet temperature"
        path="exhaust.inletTemperature.kind"
        options={TEMPERATURES}
      />
      {kind === 'estimated' ? (
        <EstimatedTemperature />
      ) : (
        <CurveEditor path="exhaust.inletTemperature.curve" title="Turbine inlet temperature" />
      )}
      <BoundQuantity
        label="Back-pressure ratio of vol. efficiency"
        path="exhaust.measuredBackPressureRatio"
        help="The cylinders fill less as back-pressure rises. The curve is taken as measured at this p3/p_m, turbine inlet over manifold pressure, and corrected from there. 1: the two were equal."
      />
    </InputGroup>
  );
}

/** What the estimate comes to on the line of the candidate that is shown. */
function EstimatedTemperature() {
  const points = useLugline((state) => {
    const shown = selectShownCandidate(state);
    return shown === null ? null : (selectCandidateResults(state, shown)?.points ?? null);
  });
  const units = useResultUnits();
  const words = useMemo(() => inletTemperatureWords(points ?? [], units), [points, units]);
  return (
    <p className={styles.note} role="status">
      {words}
    </p>
  );
}
