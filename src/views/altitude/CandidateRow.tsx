import { changeSettings } from '../../build/index.ts';
import { selectCandidates, selectShownCandidate, useApply, useLugline } from '../../store/index.ts';
import { ChoiceRow } from '../../widgets/index.ts';
import { candidateLetter, isEstimated } from '../shared/provenance.ts';
import styles from './altitude.module.css';

/** Which candidate's ceilings are shown; the same choice as in the Match view. */
export function CandidateRow() {
  const apply = useApply();
  const candidates = useLugline(selectCandidates);
  const shown = useLugline(selectShownCandidate);
  if (shown === null) return null;
  const options = candidates.map((candidate, index) => ({
    key: String(index),
    name: `${candidateLetter(index)}: ${candidate.name}${isEstimated(candidate) ? ' (estimate)' : ''}`,
  }));
  return (
    <div className={styles.candidates}>
      <ChoiceRow
        label="Candidate"
        hideLabel
        value={String(shown)}
        options={options}
        onChange={(key) => apply(changeSettings({ shownCandidate: Number(key) }))}
      />
    </div>
  );
}
