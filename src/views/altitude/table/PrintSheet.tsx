import { memo, useEffect, useState } from 'react';
import { createPortal } from 'react-dom';
import type { Matrix } from '../../shared/altitudeStudies.ts';
import type { SheetWords } from '../model/sheetWords.ts';
import styles from './printSheet.module.css';

interface Props {
  matrices: readonly Matrix[];
  words: SheetWords;
  letters: string;
  marks: string;
}

/** As many places stand side by side on a page of A4 or Letter. */
const PLACES_ACROSS = 9;

/** All tables on paper, in black on white. In the page it is not seen; printing shows it in place of everything else. */
export const PrintSheet = memo(function PrintSheet({ matrices, words, letters, marks }: Props) {
  const [now, setNow] = useState(() => new Date());
  useEffect(() => {
    const stamp = () => setNow(new Date());
    window.addEventListener('beforeprint', stamp);
    document.body.dataset.printing = 'sheet';
    return () => {
      window.removeEventListener('beforeprint', stamp);
      delete document.body.dataset.printing;
    };
  }, []);
  const date = now.toLocaleString('en-GB', { dateStyle: 'long', timeStyle: 'short' });
  return createPortal(
    <div className={styles.sheet} aria-hidden="true">
      <h1>{words.title}</h1>
      <p className={styles.by}>
        Lugline, {date}. {words.candidate}
      </p>
      <ul>
        {words.remarks.map((remark) => (
          <li key={remark}>{remark}</li>
        ))}
      </ul>
      <ul className={styles.cautions}>
        {words.cautions.map((caution) => (
          <li key={caution}>{caution}</li>
        ))}
      </ul>
      {matrices.flatMap((matrix) =>
        blocks(matrix).map((block, i) => (
          <figure key={`${matrix.key}-${block[0]}`}>
            <figcaption>
              {matrix.title}, {matrix.unit}
              {i > 0 && ' (continued)'}
              {matrix.key === 'allowed' && (
                <small>
                  What binds: {letters}. {marks}
                </small>
              )}
            </figcaption>
            <PrintTable matrix={matrix} columns={block} />
          </figure>
        )),
      )}
      <p className={styles.foot}>Checked by, date: ______________________________</p>
    </div>,
    document.body,
  );
});

function blocks(matrix: Matrix): number[][] {
  const all = matrix.columns.map((_, i) => i);
  const count = Math.max(1, Math.ceil(all.length / PLACES_ACROSS));
  return Array.from({ length: count }, (_, i) => all.slice(i * PLACES_ACROSS, (i + 1) * PLACES_ACROSS));
}

function PrintTable({ matrix, columns }: { matrix: Matrix; columns: readonly number[] }) {
  return (
    <table>
      <thead>
        <tr>
          <th scope="col">Engine speed, rpm</th>
          {columns.map((c) => (
            <th key={c} scope="col">
              {matrix.columns[c]?.title}
              <small>{matrix.columns[c]?.detail}</small>
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {matrix.rows.map((row) => (
          <tr key={row.engineSpeedRpm}>
            <th scope="row">{row.engineSpeed}</th>
            {columns.map((c) => (
              <td key={c} data-over={row.cells[c]?.isOver || undefined}>
                {row.cells[c]?.text}
                {row.cells[c]?.mark && <small> {row.cells[c].mark}</small>}
              </td>
            ))}
          </tr>
        ))}
      </tbody>
    </table>
  );
}
