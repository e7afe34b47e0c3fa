import { Fragment, memo } from 'react';
import { joined } from '../../../units/index.ts';
import { cx, DataTable, Sentences } from '../../../widgets/index.ts';
import type { Matrix } from '../../shared/calibrationMatrix.ts';
import type { MarginCell, MarginRow } from '../model/marginRows.ts';
import {
  type CalibrationSheet,
  type ControlPage,
  type PrintedMatrix,
  type PrintedPoints,
  remarkMarks,
} from '../model/printedTables.ts';
import type { CandidateBlock } from '../model/sheetModel.ts';
import styles from './paper.module.css';

const SIGNS: Readonly<Record<MarginCell['word'], string>> = {
  holds: '✓',
  caution: '▲',
  crossed: '■',
  '': '',
  'not known': '?',
};
const VERDICTS = { better: '↑', worse: '↓', same: '=', unknown: '', pending: '' } as const;

/** Margins and limits: what is asked for, what the lines come to at their worst; with two candidates what is better and worse. */
export const Margins = memo(function Margins({
  rows,
  candidates,
}: {
  rows: readonly MarginRow[];
  candidates: readonly CandidateBlock[];
}) {
  const [first, second] = candidates;
  const isPair = second !== undefined;
  return (
    <section>
      <h2>
        Margins and limits{isPair && ', and what tells the two apart'}
        <small>each at its worst engine speed; ✓ holds, ▲ caution, ■ crossed</small>
      </h2>
      <table className={styles.margins}>
        <thead>
          <tr>
            <td>&nbsp;</td>
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
});

function askedText(asked: readonly string[], candidates: readonly CandidateBlock[]): string {
  if (asked.length < 2) return asked[0] ?? '';
  return asked.map((text, i) => `${candidates[i]?.letter} ${text}`).join('\n');
}

/** The operating points of one candidate. A speed without a point says why, across its row. */
export function PointsTable({ points }: { points: PrintedPoints }) {
  const { letter, isEstimated, columns, rows, note } = points;
  const { markOf, words } = remarkMarks(rows);
  const under = joined([words, note], '. ');
  return (
    <section>
      <h2>
        Operating points of {letter}
        {isEstimated && ' (estimate)'}
        {under !== '' && <small>{under}</small>}
      </h2>
      <DataTable
        className={styles.points}
        label={`Operating points of ${letter}`}
        head={[
          <Unit key="rpm" title="Engine speed" unit="rpm" />,
          ...columns.map(({ key, title, unit }) => <Unit key={key} title={title} unit={unit === '' ? '–' : unit} />),
        ]}
        rows={rows.map(({ engineSpeedRpm, engineSpeed, cells, remark }) => ({
          key: engineSpeedRpm,
          name: (
            <>
              <sup>{markOf.get(remark)}</sup> {engineSpeed}
            </>
          ),
          cells: cells ?? [
            <td key="why" colSpan={columns.length} className={styles.why}>
              {remark}
            </td>,
          ],
        }))}
      />
    </section>
  );
}

interface Props {
  calibration: CalibrationSheet;
  tables: readonly PrintedMatrix[];
  isFirst: boolean;
  isLast: boolean;
}

/** The calibration tables, whole; or a sentence that says why they are not here. */
export function CalibrationTables({ calibration, tables, isFirst, isLast }: Props) {
  return (
    <section>
      {isFirst && <h2>Calibration table by altitude</h2>}
      {isFirst && calibration.held.length > 0 && <p className={styles.held}>{calibration.held.join(' ')}</p>}
      {calibration.state !== 'ready' && (
        <p className={styles.pending} role="status">
          {calibration.words}
        </p>
      )}
      <div className={styles.matrices} data-count={tables.length}>
        {tables.map(({ key, title, matrix }) => (
          <figure key={key}>
            <figcaption>{title}</figcaption>
            <MatrixOnPaper matrix={matrix} title={title} />
          </figure>
        ))}
      </div>
      {isLast && calibration.notes.length > 0 && <p className={styles.note}>{calibration.notes.join(' ')}</p>}
    </section>
  );
}

/** Numbers of more signs than this stand too close in a narrow column. */
const LONG = 5;

function MatrixOnPaper({ matrix, title }: { matrix: Matrix; title: string }) {
  const isLong = matrix.rows.some(({ cells }) => cells.some(({ text }) => text.length > LONG));
  return (
    <DataTable
      className={cx(styles.matrix, isLong && styles.long)}
      label={title}
      head={[
        <Unit key="rpm" title="Engine" unit="rpm" />,
        ...matrix.columns.map(({ key, title: place, detail }) => (
          <Unit key={key} title={place} unit={detail.replace(`${place}, `, '')} />
        )),
      ]}
      rows={matrix.rows.map(({ engineSpeedRpm, engineSpeed, cells }) => ({
        key: engineSpeedRpm,
        name: engineSpeed,
        cells: cells.map(({ text, mark, isOver }, c) => (
          <td key={matrix.columns[c]?.key} data-over={isOver || undefined}>
            {text}
            {mark !== '' && <small>{mark}</small>}
          </td>
        )),
      }))}
    />
  );
}

function Unit({ title, unit }: { title: string; unit: string }) {
  return (
    <>
      {title} <span>{unit}</span>
    </>
  );
}

/** One page of the table for the control unit: the answer, the numbers, what the signs mean, and the cautions. */
export const ControlTablePage = memo(function ControlTablePage({
  page: { title, words, sheet, blocks, cautions },
}: {
  page: ControlPage;
}) {
  return (
    <section className={styles.control}>
      <h2>{title}</h2>
      {words !== null && <p className={styles.pending}>{words}</p>}
      {sheet !== null && (
        <>
          <p className={styles.controlAnswer}>{sheet.headline}</p>
          <Sentences as="ul" of={sheet.details} />
          {blocks.map((columns) => (
            <figure key={columns[0]}>
              <figcaption>
                {sheet.title}. {sheet.corner}.
              </figcaption>
              <DataTable
                head={['\u00a0', ...columns.map((c) => sheet.columns[c])]}
                rows={sheet.rows.map(({ heading, cells }) => ({
                  key: heading,
                  name: heading,
                  cells: columns.map((c) => (
                    <td key={c} data-state={cells[c]?.state}>
                      {cells[c]?.text}
                      <small>{cells[c]?.mark}</small>
                    </td>
                  )),
                }))}
              />
            </figure>
          ))}
          <p>{sheet.legend.join(' · ')}</p>
          <Sentences as="ul" of={cautions} className={styles.controlCautions} />
        </>
      )}
    </section>
  );
});
