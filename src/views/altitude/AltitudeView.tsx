import { memo } from 'react';
import { isSameAltitudeStudy, selectActiveBuild, useLugline } from '../../store/index.ts';
import { CAUTIONS } from '../shared/provenance.ts';
import styles from './altitude.module.css';
import { CandidateRow } from './CandidateRow.tsx';
import { CandidateSections } from './CandidateSections.tsx';
import { AltitudeSidebar } from './sidebar/AltitudeSidebar.tsx';
import { useShownStudy } from './useShownStudy.ts';

/** Inputs of the study on the left; ceilings, what binds, the tuner's table and how sure it all is on the right. */
export function AltitudeView() {
  const buildId = useLugline((state) => state.workspace.activeBuildId);
  return (
    <div className={styles.view}>
      <AltitudeSidebar key={`inputs-${buildId}`} />
      <div className={styles.results}>
        <CandidateRow />
        <StudyState />
        <Study key={buildId} />
        <p className={styles.cautions}>{CAUTIONS}</p>
      </div>
    </div>
  );
}

/** Whether what is shown belongs to the present inputs. Its room is always there: nothing jumps when it speaks. */
const StudyState = memo(function StudyState() {
  const slot = useLugline((state) => state.studies.altitude);
  const isCurrent = useLugline(
    (state) =>
      state.studies.altitude.result !== null &&
      isSameAltitudeStudy(state.studies.altitude.result.build, selectActiveBuild(state)),
  );
  const words =
    slot.problem ??
    (isCurrent
      ? 'Up to date with the inputs.'
      : slot.result === null
        ? 'Computing …'
        : 'Computing; shown is the state before the last change.');
  return (
    <p
      className={styles.state}
      role="status"
      data-stale={!isCurrent || undefined}
      data-problem={slot.problem !== null || undefined}
    >
      {words}
    </p>
  );
});

function Study() {
  const shown = useShownStudy();
  if (shown === null) return <div className={styles.nothing} />;
  if (shown.study === null) {
    return (
      <div className={styles.nothing}>
        <p>There is nothing to study yet:</p>
        <ul>
          {shown.problems.map((message) => (
            <li key={message}>{message}</li>
          ))}
        </ul>
      </div>
    );
  }
  return <CandidateSections result={shown.result} study={shown.study} index={shown.index} isStale={shown.isStale} />;
}
