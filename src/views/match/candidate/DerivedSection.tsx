import { useMemo } from 'react';
import { selectCandidateFigures, selectCandidates, selectComparison, useLugline } from '../../../store/index.ts';
import { candidateLetter } from '../../shared/candidateLetter.ts';
import { type DerivedRow, derivedRows, ratioRows } from '../../shared/derivedRows.ts';
import styles from './card.module.css';

/** What follows from the measurements at once, each number with what the calipers leave open. */
export function DerivedSection({ index, other }: { index: number; other: number | null }) {
  const figures = useLugline((state) => selectCandidateFigures(state, index));
  const lengths = useLugline((state) =>
    selectCandidates(state)[index]?.wheels.compressor.exducer.unit === 'in' ? 'in' : 'mm',
  );
  const ratios = useLugline((state) =>
    other === null ? null : (selectComparison(state, other, index, false)?.ratios ?? null),
  );
  const derived = useMemo(() => (figures === null ? [] : derivedRows(figures, { lengths })), [figures, lengths]);
  const against = useMemo(() => (ratios === null ? [] : ratioRows(ratios)), [ratios]);
  return (
    <section className={styles.section} aria-label="What follows">
      <Rows title="What follows" rows={derived} />
      {other !== null && <Rows title={`More or less than ${candidateLetter(other)}`} rows={against} />}
      <p className={styles.hint}>
        ± is the most that the calipers leave open. Areas are circles over the tips, hub and blades not taken off: for
        comparing wheels. A speed sensor at the inducer counts full blades only.
      </p>
    </section>
  );
}

function Rows({ title, rows }: { title: string; rows: readonly DerivedRow[] }) {
  return (
    <table className={styles.table}>
      <thead>
        <tr>
          <th scope="col">{title}</th>
          <th scope="col">Compressor</th>
          <th scope="col">Turbine</th>
        </tr>
      </thead>
      <tbody>
        {rows.map((row) => (
          <tr key={row.title}>
            <th scope="row">{row.title}</th>
            <td>{row.compressor}</td>
            <td>{row.turbine}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}
