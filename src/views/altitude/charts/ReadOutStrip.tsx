import { memo, useMemo } from 'react';
import type { Build } from '../../../build/index.ts';
import type { CandidateStudy } from '../../../store/index.ts';
import { useResultUnits } from '../../shared/display.ts';
import { candidateLetter } from '../../shared/provenance.ts';
import styles from '../altitude.module.css';
import { readOut } from '../model/readOut.ts';
import { usePointed } from '../usePointed.ts';

interface Props {
  build: Build;
  study: CandidateStudy;
  index: number;
}

/** The numbers at the engine speed and altitude that all charts point at. */
export const ReadOutStrip = memo(function ReadOutStrip({ build, study, index }: Props) {
  const units = useResultUnits();
  const [{ engineSpeedRpm, altitudeM }] = usePointed();
  const words = useMemo(
    () => readOut(build, study, { engineSpeedRpm, altitudeM }, units),
    [build, study, engineSpeedRpm, altitudeM, units],
  );
  return (
    <section className={styles.readOut} aria-label="Read-out">
      <p className={styles.where}>
        {candidateLetter(index)}, {words.where}
      </p>
      <dl data-many={words.terms.length > 6 || undefined}>
        {words.terms.map(({ title, value, detail }) => (
          <div key={title}>
            <dt>{title}</dt>
            <dd>
              <span>{value}</span>
              <small>{detail}</small>
            </dd>
          </div>
        ))}
      </dl>
    </section>
  );
});
