import { memo } from 'react';
import type { AltitudeStudy } from '../../../store/index.ts';
import { heldVerdict } from '../../shared/altitudeStudies.ts';
import { candidateLetter } from '../../shared/provenance.ts';
import styles from '../altitude.module.css';
import { thresholdWords } from '../model/thresholdOverAltitude.ts';

const GOALS = {
  'gauge-boost': 'gauge boost',
  'manifold-pressure': 'absolute manifold pressure',
  'brake-power': 'power at the crankshaft',
  'wheel-power': 'power at the wheels',
} as const;

/** 'Hold this goal: how high can this car drive before a limit is crossed', for every candidate. */
export const HeldPanel = memo(function HeldPanel({ result }: { result: AltitudeStudy }) {
  const { build, candidates } = result;
  return (
    <section className={styles.held} aria-labelledby="held-title">
      <h2 id="held-title">Hold this goal ({GOALS[build.goal.kind]}): how high can this car drive?</h2>
      <div className={styles.verdicts}>
        {candidates.map((study, index) => {
          const letter = candidateLetter(index);
          const verdict = study && heldVerdict(build, study);
          const threshold = study && thresholdWords(build, study);
          return (
            <article
              key={build.candidates[index]?.id ?? letter}
              className={styles.verdict}
              data-tone={verdict?.tone ?? 'none'}
            >
              <h3>
                {letter}: {build.candidates[index]?.name}
              </h3>
              {verdict === null ? (
                <p>Its inputs are not complete; see the Match view.</p>
              ) : (
                <>
                  <p className={styles.headline}>{verdict.headline}</p>
                  <ul>
                    {verdict.details.map((detail) => (
                      <li key={detail}>{detail}</li>
                    ))}
                    {threshold !== null && <li>{threshold}</li>}
                  </ul>
                </>
              )}
            </article>
          );
        })}
      </div>
    </section>
  );
});
