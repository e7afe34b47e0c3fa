import type { Candidate } from '../../../build/index.ts';
import { selectCandidateResults, useActions, useLugline } from '../../../store/index.ts';
import { Button } from '../../../widgets/index.ts';
import { turbineKnown } from '../model/turbineKnown.ts';
import styles from './sidebar.module.css';

/** What is known of the turbine, and the way to where it is entered. */
export function TurbineLine({ candidate, index }: { candidate: Candidate; index: number }) {
  const { setUi } = useActions();
  const turbine = useLugline((state) => selectCandidateResults(state, index)?.input?.turbine);
  const isNone = candidate.turbine.source === 'none';
  return (
    <div className={styles.turbine}>
      <p>
        <span>Turbine</span> {turbineKnown(candidate, turbine)}
      </p>
      <Button
        label={isNone ? 'Enter the turbine on the card' : 'Turbine on the card'}
        onPress={() => setUi({ openCardId: candidate.id, openCardPart: 'turbine' })}
      >
        {isNone ? 'Enter' : 'Turbine'}
      </Button>
    </div>
  );
}
