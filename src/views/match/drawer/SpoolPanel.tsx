import { memo, useMemo } from 'react';
import { selectSpool, useLugline } from '../../../store/index.ts';
import { useResultUnits } from '../../shared/display.ts';
import { FieldsOf } from '../../shared/Field.tsx';
import { spoolWords } from '../../shared/spoolWords.ts';
import styles from './differences.module.css';

/** Which of the two spools up sooner, as an estimate, and what is asked for it. */
export const SpoolPanel = memo(function SpoolPanel({ pair }: { pair: readonly [number, number] }) {
  const first = useLugline((state) => selectSpool(state, pair[0]));
  const second = useLugline((state) => selectSpool(state, pair[1]));
  const units = useResultUnits();
  const words = useMemo(() => spoolWords(pair, [first, second], units), [pair, first, second, units]);
  return (
    <section className={styles.spool} aria-label="Spool-up">
      <div>
        <p className={styles.headline} role="status">
          {words.headline}
        </p>
        {words.lines.map((line) => (
          <p key={line}>{line}</p>
        ))}
        <p className={styles.note}>{words.note}</p>
      </div>
      <div className={styles.spoolFields}>
        <FieldsOf group="spool" />
      </div>
    </section>
  );
});
