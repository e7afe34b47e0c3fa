import { type Candidate, setCardField } from '../../../build/index.ts';
import { useApply } from '../../../store/index.ts';
import { TextLine } from '../../../widgets/index.ts';
import styles from './card.module.css';

/** Whatever the shop wants to remember about this turbo. */
export function NotesSection({ candidate }: { candidate: Candidate }) {
  const apply = useApply();
  return (
    <section className={styles.section} aria-label="Notes">
      <TextLine
        stacked
        rows={3}
        label="Notes on this candidate"
        value={candidate.notes}
        placeholder="Where it came from, its state, clearances"
        onChange={(text) => apply(setCardField(candidate.id, 'notes', text))}
      />
    </section>
  );
}
