import { Fragment } from 'react';
import type { MarginCell, MarginRow } from '../model/marginRows.ts';
import type { CandidateBlock } from '../model/sheetModel.ts';
import styles from './paper.module.css';

const SIGNS: Readonly<Record<MarginCell['word'], string>> = { holds: '✓', crossed: '■', '': '', 'not known': '?' };
const VERDICTS = { better: '▲', worse: '▼', same: '=', unknown: '', pending: '' } as const;

/** Margins and limits: what is asked for, what the lines come to at their worst; with two candidates what is better and worse. */
export function Margins({ rows, candidates }: { rows: readonly MarginRow[]; candidates: readonly CandidateBlock[] }) {
  const [first, second] = candidates;
  const isPair = second !== undefined;
  return (
    <section>
      <h2>
        Margins and limits{isPair && ', and what tells the two apart'}
        <small>each at its worst engine speed; ✓ holds, ■ crossed</small>
      </h2>
      <table className={styles.margins}>
        <thead>
          <tr>
            <th scope="col">&nbsp;</th>
            <th scope="col">Asked</th>
            {candidates.map(({ letter }) => (
              <th key={letter} scope="colgroup" colSpan={3}>
                {letter}
              </th>
            ))}
            {isPair && (
              <>
                <th scope="col">
                  {second.letter} less {first?.letter}
                </th>
                <th scope="col">{second.letter} is</th>
              </>
            )}
          </tr>
        </thead>
        <tbody>
          {rows.map(({ title, asked, cells, against }) => (
            <tr key={title}>
              <th scope="row">{title}</th>
              <td>{askedText(asked, candidates)}</td>
              {cells.map((cell, i) => (
                <Fragment key={candidates[i]?.letter}>
                  <td data-word={cell.word}>{cell.worst}</td>
                  <td>{cell.at === '' ? '' : `at ${cell.at}`}</td>
                  <td data-word={cell.word}>
                    {SIGNS[cell.word]}
                    {!isPair && cell.word !== '' && ` ${cell.word}`}
                  </td>
                </Fragment>
              ))}
              {isPair && (
                <>
                  <td>{against?.difference}</td>
                  <td>{against === null ? '' : `${VERDICTS[against.verdict]} ${against.word}`}</td>
                </>
              )}
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}

function askedText(asked: readonly string[], candidates: readonly CandidateBlock[]): string {
  if (asked.length < 2) return asked[0] ?? '';
  return asked.map((text, i) => `${candidates[i]?.letter} ${text}`).join('\n');
}
