import { Fragment } from 'react';
import type { LimitCell, LimitRow } from '../model/limitRows.ts';
import type { CandidateBlock } from '../model/sheetModel.ts';
import styles from './paper.module.css';

const SIGNS: Readonly<Record<LimitCell['word'], string>> = {
  holds: '✓',
  crossed: '■',
  'no limit': '',
  'not known': '',
};

/** Margins and limits: what is asked for, and what the lines come to at their worst. */
export function Limits({ rows, candidates }: { rows: readonly LimitRow[]; candidates: readonly CandidateBlock[] }) {
  return (
    <section>
      <h2>Margins and limits, each at its worst engine speed</h2>
      <table className={styles.limits}>
        <thead>
          <tr>
            <th scope="col">Limit</th>
            {candidates.map(({ letter }) => (
              <Fragment key={letter}>
                <th scope="col">{letter}: asked</th>
                <th scope="col">comes to</th>
                <th scope="col">at</th>
                <th scope="col">&nbsp;</th>
              </Fragment>
            ))}
          </tr>
        </thead>
        <tbody>
          {rows.map(({ title, cells }) => (
            <tr key={title}>
              <th scope="row">{title}</th>
              {cells.map((cell, i) => (
                <Fragment key={candidates[i]?.letter}>
                  <td>{cell.asked}</td>
                  <td>{cell.worst}</td>
                  <td>{cell.at}</td>
                  <td data-word={cell.word}>
                    {SIGNS[cell.word]} {cell.word}
                  </td>
                </Fragment>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}
