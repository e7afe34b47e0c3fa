import { setCandidateField } from '../../../build/index.ts';
import { selectCandidates, useActions, useApply, useLugline, useSettings } from '../../../store/index.ts';
import { Button, Dialog, TextLine } from '../../../widgets/index.ts';
import { candidateLetter } from '../../shared/candidateLetter.ts';
import { comparedPair } from '../../shared/comparedPair.ts';
import { ClaimSection } from './ClaimSection.tsx';
import styles from './card.module.css';
import { DerivedSection } from './DerivedSection.tsx';
import { HousingSection } from './HousingSection.tsx';
import { MapSection } from './MapSection.tsx';
import { NotesSection } from './NotesSection.tsx';
import { TurbineSection } from './TurbineSection.tsx';
import { WheelSection } from './WheelSection.tsx';

/** Everything about one turbo that is measured, read or claimed, with what follows from it at once. */
export function CardDialog() {
  const { setUi } = useActions();
  const apply = useApply();
  const candidates = useLugline(selectCandidates);
  const id = useLugline((state) => state.ui.openCardId);
  const pair = comparedPair(useSettings(), candidates.length);
  const index = candidates.findIndex((candidate) => candidate.id === id);
  const candidate = candidates[index];
  const close = () => setUi({ openCardId: null });
  if (candidate === undefined) return null;
  const other = otherThan(index, pair);
  return (
    <Dialog
      title={`Card of candidate ${candidateLetter(index)}`}
      size="large"
      onClose={close}
      actions={
        <Button variant="primary" onPress={close}>
          Done
        </Button>
      }
    >
      <div className={styles.card}>
        <div className={styles.column}>
          <TextLine
            stacked
            label="Name"
            value={candidate.name}
            onChange={(text) => apply(setCandidateField(candidate.id, 'name', text))}
          />
          <WheelSection candidate={candidate} wheel="compressor" index={index} />
          <WheelSection candidate={candidate} wheel="turbine" index={index} />
        </div>
        <div className={styles.column}>
          <DerivedSection index={index} other={other} />
          <NotesSection candidate={candidate} />
        </div>
        <div className={styles.column}>
          <MapSection candidate={candidate} index={index} />
          <ClaimSection candidate={candidate} index={index} other={other} />
          <HousingSection candidate={candidate} />
          <TurbineSection candidate={candidate} index={index} />
        </div>
      </div>
    </Dialog>
  );
}

/** The candidate that this one is held against: the other of the pair, else the first that is not this one; null when it is alone. */
function otherThan(index: number, pair: readonly [number, number] | null): number | null {
  if (pair === null) return null;
  const [first, second] = pair;
  return first === index ? second : first;
}
