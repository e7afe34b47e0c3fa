import { memo, useMemo } from 'react';
import type { Build } from '../../../build/index.ts';
import { FieldChart } from '../../../plot/index.ts';
import type { CandidateStudy } from '../../../store/index.ts';
import { altitudeFromValue, altitudeUnit } from '../../shared/altitudeStudies.ts';
import { usePalette } from '../../shared/display.ts';
import { candidateLetter } from '../../shared/provenance.ts';
import styles from '../altitude.module.css';
import { bindingField, fieldWithPointed } from '../model/bindingField.ts';
import { usePointed } from '../usePointed.ts';

interface Props {
  build: Build;
  study: CandidateStudy;
  index: number;
}

/** Which limit holds the boost down, over engine speed and altitude. */
export const FieldPanel = memo(function FieldPanel({ build, study, index }: Props) {
  const palette = usePalette();
  const [{ engineSpeedRpm, altitudeM }, point] = usePointed();
  const field = useMemo(() => bindingField(build, study), [build, study]);
  const model = useMemo(
    () => fieldWithPointed(field, study, { engineSpeedRpm, altitudeM }),
    [field, study, engineSpeedRpm, altitudeM],
  );
  const letter = candidateLetter(index);
  return (
    <section className={styles.panel} aria-label={`What binds on candidate ${letter}`}>
      <h2>What binds: the limit that holds the boost down</h2>
      <div className={styles.chart}>
        {field.ys.length < 2 ? (
          <p className={styles.note}>
            Two altitudes at least are needed for this field. Check the altitudes on the left.
          </p>
        ) : (
          <FieldChart
            model={model}
            palette={palette}
            label={`Which limit binds on candidate ${letter}, over engine speed and altitude`}
            handlers={{
              onPoint: (cell) =>
                cell && point({ engineSpeedRpm: cell.x, altitudeM: altitudeFromValue(cell.y, altitudeUnit(build)) }),
            }}
          />
        )}
      </div>
    </section>
  );
});
