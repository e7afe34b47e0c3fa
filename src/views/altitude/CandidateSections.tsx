import { memo } from 'react';
import type { AltitudeStudy, CandidateStudy } from '../../store/index.ts';
import styles from './altitude.module.css';
import { CeilingsPanel } from './charts/CeilingsPanel.tsx';
import { ControllersPanel } from './charts/ControllersPanel.tsx';
import { FieldPanel } from './charts/FieldPanel.tsx';
import { HeldPanel } from './charts/HeldPanel.tsx';
import { MapPanel } from './charts/MapPanel.tsx';
import { ReadOutStrip } from './charts/ReadOutStrip.tsx';
import { ShaftPanel } from './charts/ShaftPanel.tsx';
import { SpreadSection } from './spread/SpreadSection.tsx';
import { CalibrationSection } from './table/CalibrationSection.tsx';

interface Props {
  result: AltitudeStudy;
  study: CandidateStudy;
  index: number;
  isStale: boolean;
}

/** Everything of one candidate, from one state of the inputs: charts, words and table cannot show different ones. */
export const CandidateSections = memo(function CandidateSections({ result, study, index, isStale }: Props) {
  const { build } = result;
  return (
    <div className={styles.sections} data-stale={isStale || undefined}>
      <ReadOutStrip build={build} study={study} index={index} />
      <div className={styles.pair}>
        <CeilingsPanel build={build} study={study} index={index} />
        <FieldPanel build={build} study={study} index={index} />
      </div>
      <HeldPanel result={result} />
      <div className={styles.pair}>
        <ShaftPanel result={result} />
        <MapPanel build={build} study={study} index={index} />
      </div>
      <ControllersPanel build={build} study={study} index={index} />
      <CalibrationSection result={result} study={study} index={index} isStale={isStale} />
      <SpreadSection index={index} />
    </div>
  );
});
