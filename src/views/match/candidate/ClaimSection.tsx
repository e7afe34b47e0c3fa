import { useMemo } from 'react';
import type { Candidate } from '../../../build/index.ts';
import { selectComparison, useLugline } from '../../../store/index.ts';
import { candidateLetter } from '../../shared/candidateLetter.ts';
import { useResultUnits } from '../../shared/useResultUnits.ts';
import { CardChoice } from './CardChoice.tsx';
import { CardField } from './CardField.tsx';
import styles from './card.module.css';
import { claimWords } from './model/claimWords.ts';

const KINDS = [
  { key: 'none', name: 'Nothing' },
  { key: 'flow', name: 'More air flow' },
  { key: 'power', name: 'More power' },
] as const;

/** What the maker or seller says that it gives more, held against what was measured and what the maps give. */
export function ClaimSection({
  candidate,
  index,
  other,
}: {
  candidate: Candidate;
  index: number;
  other: number | null;
}) {
  const isClaimed = candidate.claim.kind !== 'none';
  return (
    <section className={styles.section} aria-label="Claim">
      <h3 className={styles.title}>Claim</h3>
      <CardChoice candidate={candidate} path="claim.kind" label="What is claimed" options={KINDS} />
      {isClaimed && (
        <CardField
          candidate={candidate}
          path="claim.gain"
          label={other === null ? 'Claimed gain' : `… than ${candidateLetter(other)}`}
          placeholder="none"
        />
      )}
      {isClaimed && other !== null && <Check index={index} other={other} ofPower={candidate.claim.kind === 'power'} />}
      {isClaimed && other === null && (
        <p className={styles.hint}>A claim is checked against another candidate: add one.</p>
      )}
    </section>
  );
}

function Check({ index, other, ofPower }: { index: number; other: number; ofPower: boolean }) {
  // A claim of power is held against the ceilings too.
  const claim = useLugline((state) => selectComparison(state, other, index, ofPower)?.claim ?? null);
  const units = useResultUnits();
  const words = useMemo(
    () => claim && claimWords(claim, [candidateLetter(other), candidateLetter(index)], units),
    [claim, other, index, units],
  );
  if (words === null) return <p className={styles.hint}>Enter the claimed gain to have it checked.</p>;
  return (
    <div className={styles.check} role="status">
      <p className={styles.verdict}>{words.verdict}</p>
      <ul>
        {words.evidence.map((line) => (
          <li key={line}>{line}</li>
        ))}
      </ul>
      {words.worth !== '' && <p>{words.worth}</p>}
    </div>
  );
}
