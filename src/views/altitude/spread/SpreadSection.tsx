import { memo } from 'react';
import {
  isSameSpread,
  type SpreadStudy,
  selectActiveBuild,
  useLugline,
  useLuglineStore,
} from '../../../store/index.ts';
import { formatNumber } from '../../../units/index.ts';
import { Button } from '../../../widgets/index.ts';
import { candidateLetter } from '../../shared/provenance.ts';
import styles from '../altitude.module.css';
import { SpreadResults } from './SpreadResults.tsx';

/** How sure the numbers are: run in the worker on demand, kept up with the inputs from then on, until it is cancelled. */
export const SpreadSection = memo(function SpreadSection({ index }: { index: number }) {
  const slot = useLugline((state) => state.studies.spread);
  const isWanted = useLugline((state) => state.studies.spreadWanted);
  const build = useLugline(selectActiveBuild);
  const { setStudies } = useLuglineStore().getState();
  const result = resultOf(slot.result, build.id, index);
  const isCurrent = result !== null && isSameSpread(result.build, build);
  const letter = candidateLetter(index);
  const run = () => {
    // Off and on again: a run that failed is tried anew.
    setStudies({ spreadWanted: false });
    setStudies({ spreadWanted: true });
  };
  return (
    <section className={styles.spread} aria-labelledby="spread-title">
      <div className={styles.bar}>
        <h2 id="spread-title">How sure is it? The spread of {letter}, where the car stands</h2>
        <span className={styles.spring} />
        {slot.running ? (
          <>
            <progress
              className={styles.progress}
              aria-label="Share of the samples done"
              value={slot.progress ?? 0}
              max={1}
            />
            <Button onPress={() => setStudies({ spreadWanted: false })}>Cancel the spread</Button>
          </>
        ) : (
          <Button variant="primary" isDisabled={isCurrent && isWanted} onPress={run}>
            Run the spread
          </Button>
        )}
      </div>
      <p className={styles.state} role="status" data-stale={(result !== null && !isCurrent) || undefined}>
        {stateWords(slot, isCurrent, result)}
      </p>
      {result !== null && (
        <div data-stale={!isCurrent || undefined} className={styles.spreadResults}>
          <SpreadResults study={result} />
        </div>
      )}
    </section>
  );
});

function resultOf(result: SpreadStudy | null, buildId: string, index: number): SpreadStudy | null {
  return result !== null && result.build.id === buildId && result.candidateIndex === index ? result : null;
}

function stateWords(
  slot: { running: boolean; progress: number | null; problem: string | null },
  isCurrent: boolean,
  result: SpreadStudy | null,
): string {
  if (slot.problem !== null) return slot.problem;
  if (slot.running) {
    const done = `${formatNumber((slot.progress ?? 0) * 100, 0)}\u00a0% done`;
    return result === null
      ? `Computing: ${done}.`
      : `Computing: ${done}. Shown below is the state before the last change.`;
  }
  if (result === null) {
    return 'Not run. Each input is varied within its tolerance (on the left), many times over, and the whole match is solved each time.';
  }
  const { samples, seed } = result.spread;
  const from = `${formatNumber(samples, 0)} samples, seed ${seed}`;
  return isCurrent ? `Up to date: ${from}.` : `Of other inputs (${from}). Run it again for the present ones.`;
}
