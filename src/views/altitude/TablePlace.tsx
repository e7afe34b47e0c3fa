import { memo, useMemo, useState } from 'react';
import {
  isSameStudy,
  selectShownCandidate,
  type TableStudy,
  useBuild,
  useLugline,
  useLuglineStore,
} from '../../store/index.ts';
import { formatNumber, plainBlanks } from '../../units/index.ts';
import { Button, ChoiceRow, formatClipboardTable, formatCsv, Sentences } from '../../widgets/index.ts';
import {
  bareNumbers,
  type ControlSheet,
  type ControlShown,
  controlSheet,
  withHeadings,
} from '../shared/controlTable.ts';
import { candidateLetter, useResultUnits } from '../shared/display.ts';
import { NOT_THE_ENGINE, TABLE_CAUTIONS } from '../shared/fileNotes.ts';
import { CopyButton, fileName, saveFile } from '../shared/ToolBar.tsx';
import styles from './altitude.module.css';
import tableStyles from './tablePlace.module.css';

/** The newest table of the open build and the candidate that is shown, and whether it is of the present inputs. */
function useShownTable(): { study: TableStudy | null; isCurrent: boolean } {
  const build = useBuild();
  const index = useLugline(selectShownCandidate);
  const result = useLugline((state) => state.studies.table.result);
  const study = result !== null && result.build.id === build.id && result.candidateIndex === index ? result : null;
  return { study, isCurrent: study !== null && isSameStudy('table', study.build, build) };
}

/** How a study stands beside the present inputs. */
export function StudyWords({ words, isCurrent, isProblem }: { words: string; isCurrent: boolean; isProblem: boolean }) {
  return (
    <p
      className={styles.state}
      role="status"
      data-stale={!isCurrent || undefined}
      data-problem={isProblem || undefined}
    >
      {words}
    </p>
  );
}

/** How far the table is, with the way to stop it and to begin again. */
export const TableState = memo(function TableState() {
  const slot = useLugline((state) => state.studies.table);
  const { study, isCurrent } = useShownTable();
  const { setStudies } = useLuglineStore().getState();
  const compute = () => {
    // Off and on again: a run that failed is tried anew.
    setStudies({ tableWanted: false });
    setStudies({ tableWanted: true });
  };
  const percent = formatNumber((slot.progress ?? 0) * 100, 0);
  const words =
    slot.problem ??
    (slot.running
      ? `Computing: ${percent}\u00a0%${study === null ? '' : '; shown is the state before'}`
      : isCurrent
        ? 'Up to date with the inputs.'
        : study === null
          ? 'Not computed.'
          : 'Of other inputs.');
  return (
    <div className={tableStyles.state}>
      <StudyWords words={words} isCurrent={isCurrent} isProblem={slot.problem !== null} />
      {slot.running ? (
        <>
          <progress
            className={styles.progress}
            aria-label="Share of the table done"
            value={slot.progress ?? 0}
            max={1}
          />
          <Button onPress={() => setStudies({ tableWanted: false })}>Cancel</Button>
        </>
      ) : (
        !isCurrent && (
          <Button variant="primary" onPress={compute}>
            Compute the table
          </Button>
        )
      )}
    </div>
  );
});

/** The answer, the numbers to key in, and the table that is there already against the ceilings. */
export function TablePlace() {
  const { study, isCurrent } = useShownTable();
  if (study === null) return <div className={styles.nothing} />;
  return (
    <div className={styles.sections} data-stale={!isCurrent || undefined}>
      <TableSections study={study} isCurrent={isCurrent} />
    </div>
  );
}

const TableSections = memo(function TableSections({ study, isCurrent }: { study: TableStudy; isCurrent: boolean }) {
  const units = useResultUnits();
  const [wanted, setWanted] = useState<ControlShown>('entered');
  const hasEntered = study.setup.options.entered !== undefined;
  const shown = hasEntered ? wanted : 'target';
  const sheet = useMemo(() => controlSheet(study, shown, units), [study, shown, units]);
  const letter = candidateLetter(study.candidateIndex);
  const cautions = [...TABLE_CAUTIONS, NOT_THE_ENGINE];
  const csv = () => {
    const remarks = [sheet.headline, ...sheet.details, ...sheet.legend, ...cautions];
    return `\uFEFF${formatCsv(withHeadings(sheet))}\r\n${formatCsv(remarks.map((words) => [plainBlanks(words)]))}`;
  };
  const name = fileName(study.build.candidates[study.candidateIndex]?.name ?? letter, 'control-unit-table', 'csv');
  const empty = sheet.rows.flatMap(({ cells }) => cells).filter(({ bare }) => bare === '').length;
  return (
    <>
      <section className={tableStyles.answer} aria-label="Answer" data-tone={sheet.tone}>
        <h2>{sheet.headline}</h2>
        <Sentences as="ul" of={sheet.details} />
      </section>
      <section className={styles.table} aria-label="Control unit table">
        <div className={styles.bar}>
          {hasEntered ? (
            <ChoiceRow
              label="Table"
              hideLabel
              value={shown}
              options={[
                { key: 'entered', name: 'Your table' },
                { key: 'target', name: 'Table to key in' },
              ]}
              onChange={setWanted}
            />
          ) : null}
          <span className="grow" />
          <CopyButton
            words="Copy numbers"
            label="Copy the bare numbers for the control unit"
            isDisabled={!isCurrent}
            text={() => bareNumbers(sheet)}
          />
          <CopyButton
            words="Copy with headings"
            label="Copy the table with its breakpoints"
            isDisabled={!isCurrent}
            text={() => `${formatClipboardTable(withHeadings(sheet))}\n`}
          />
          <Button
            label="Save the table as a CSV file"
            isDisabled={!isCurrent}
            onPress={() => saveFile(name, csv(), 'text/csv')}
          >
            CSV
          </Button>
        </div>
        <ControlMatrix sheet={sheet} />
        <p className={styles.note}>
          {sheet.legend.join(' · ')}
          {empty > 0 && ` · ${empty} cells without a number are copied empty: decide them by hand.`}
        </p>
        <Sentences as="p" of={cautions} className={tableStyles.caution} />
      </section>
    </>
  );
});

/** The table with its breakpoints; a pattern and a sign mark what is over, without an answer or lowered. */
const ControlMatrix = memo(function ControlMatrix({ sheet }: { sheet: ControlSheet }) {
  return (
    <section
      className={tableStyles.scroll}
      aria-label="Control unit table, scrolls"
      // biome-ignore lint/a11y/noNoninteractiveTabindex: a box that scrolls must be reachable by keyboard
      tabIndex={0}
    >
      <table className={tableStyles.matrix} aria-label={`${sheet.title}: ${sheet.corner}`}>
        <caption>
          {sheet.title}. {sheet.corner}.
        </caption>
        <thead>
          <tr>
            <td />
            {sheet.columns.map((column) => (
              <th key={column} scope="col">
                {column}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {sheet.rows.map(({ heading, cells }) => (
            <tr key={heading}>
              <th scope="row">{heading}</th>
              {cells.map((cell, c) => (
                <td key={sheet.columns[c]} data-state={cell.state} title={cell.spoken || undefined}>
                  {cell.text}
                  <small aria-hidden="true">{cell.mark}</small>
                  {cell.spoken !== '' && <span className="spoken">, {cell.spoken}</span>}
                </td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
});
