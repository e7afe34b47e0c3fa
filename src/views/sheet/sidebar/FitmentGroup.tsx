import { addFitmentItem, MOST_FITMENT_ITEMS, removeFitmentItem, setFitmentItem } from '../../../build/index.ts';
import { createId, selectActiveBuild, useApply, useLugline } from '../../../store/index.ts';
import { Button, Disclosure, IconButton } from '../../../widgets/index.ts';
import styles from '../sheet.module.css';

const MOST_SIGNS = 80;

/** The parts that are needed to fit the turbo; the boxes are ticked on paper. */
export function FitmentGroup() {
  const fitment = useLugline((state) => selectActiveBuild(state).fitment);
  const apply = useApply();
  return (
    <Disclosure title="Fitment list" summary={`${fitment.length} parts`}>
      {fitment.map(({ id, part, detail }, i) => (
        <div key={id} className={styles.part}>
          <div>
            <input
              aria-label={`Part ${i + 1}`}
              placeholder="Part"
              value={part}
              maxLength={MOST_SIGNS}
              onChange={(event) => apply(setFitmentItem(id, 'part', event.target.value))}
            />
            <input
              aria-label={`Size or number of part ${i + 1}`}
              placeholder="Size, number, supplier"
              value={detail}
              maxLength={MOST_SIGNS}
              onChange={(event) => apply(setFitmentItem(id, 'detail', event.target.value))}
            />
          </div>
          <IconButton icon="trash" label={`Remove part ${i + 1}`} onPress={() => apply(removeFitmentItem(id))} />
        </div>
      ))}
      <div className={styles.buttons}>
        <Button
          icon="plus"
          isDisabled={fitment.length >= MOST_FITMENT_ITEMS}
          onPress={() => apply(addFitmentItem(createId()))}
        >
          Add a part
        </Button>
      </div>
      <p className={styles.note}>At most {MOST_FITMENT_ITEMS} parts. The boxes are ticked by hand on paper.</p>
    </Disclosure>
  );
}
