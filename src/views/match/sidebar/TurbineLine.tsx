import { type Candidate, candidateTurbine } from '../../../build/index.ts';
import { selectActiveBuild, useActions, useLugline } from '../../../store/index.ts';
import { Button } from '../../../widgets/index.ts';
import { turbineKnown } from '../model/turbineKnown.ts';
import styles from './sidebar.module.css';

/** What is known of the turbine, and the way to where it is entered. */
export function TurbineLine({ candidate, index }: { candidate: Candidate; index: number }) {
  const { setUi } = useActions();
  const turbine = useLugline((state) => candidateTurbine(selectActiveBuild(state), index));
  if (turbine === null) return null;
  return (
    <div className={styles.turbine}>
      <p>
        <span>Turbine</span> {turbineKnown(candidate, turbine)}
      </p>
      <Button
        label={turbine.from === 'none' ? 'Enter the turbine on the card' : 'Turbine on the card'}
        onPress={() => setUi({ openCardId: candidate.id, openCardPart: 'turbine' })}
      >
        {turbine.from === 'none' ? 'Enter' : 'Turbine'}
      </Button>
    </div>
  );
}
