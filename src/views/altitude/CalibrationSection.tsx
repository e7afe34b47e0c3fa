import { Fragment, memo, useEffect, useMemo, useState } from 'react';
import { createPortal } from 'react-dom';
import { nearestIndex } from '../../numerics/index.ts';
import { type AltitudeStudy, type CandidateStudy, isSameStudy, useLugline } from '../../store/index.ts';
import { Button, DataTable, Sentences } from '../../widgets/index.ts';
import {
  calibrationMatrix,
  hasRoad,
  lettersOf,
  MATRIX_KEYS,
  type Matrix,
  type MatrixKey,
  ROAD_WORDS,
} from '../shared/calibrationMatrix.ts';
import { candidateLetter, useResultUnits } from '../shared/display.ts';
import { CopyButton, fileName, saveFile, ToolSelect } from '../shared/ToolBar.tsx';
import styles from './altitude.module.css';
import { markWords, matricesCsv, matrixTsv, type SheetWords, sheetWords } from './model/calibrationTable.ts';
import { usePointed } from './model/pointed.ts';
import paperStyles from './printSheet.module.css';

const LETTERS: Readonly<Partial<Record<MatrixKey, string>>> = {
  allowed: 'Letters, what binds: ',
  target: 'Letters, which limit the goal itself crosses: ',
};

interface Props {
  result: AltitudeStudy;
  study: CandidateStudy;
  index: number;
  isStale: boolean;
}

/** The tuner's table: allowed boost and what to expect on the gauges, over engine speed and place; to copy, to save, to print. */
export const CalibrationSection = memo(function CalibrationSection({ result, study, index, isStale }: Props) {
  const units = useResultUnits();
  const [key, setKey] = useState<MatrixKey>('allowed');
  const { build } = result;
  const table = study.calibration;
  const log = useLugline(({ studies }) => studies.log.result);
  const measured = useMemo(() => {
    const isOfThis = log !== null && log.candidateIndex === index && log.build.id === build.id;
    if (!isOfThis || log.result === null || !isSameStudy('log', log.build, build)) return null;
    const { rows, ambient } = log.result;
    return { rows, ambient, bladesPastSensor: Number(build.calibration.bladesPastSensor.text) };
  }, [log, build, index]);
  const matrices = useMemo(
    () => (table === null ? [] : MATRIX_KEYS.map((one) => calibrationMatrix(build, table, one, units, measured))),
    [build, table, units, measured],
  );
  const letter = candidateLetter(index);
  const matrix = matrices.find((one) => one.key === key);
  const words = useMemo(() => sheetWords(build, study, index, units), [build, study, index, units]);
  if (table === null || matrix === undefined) {
    return (
      <section className={styles.table} aria-label="Calibration table">
        <h2>Calibration table</h2>
        <p className={styles.note}>The step or the number of blades cannot be read. Check them on the left.</p>
      </section>
    );
  }
  const csv = () =>
    `\uFEFF${matricesCsv(matrices, [words.title, words.candidate, ...words.remarks, ...words.cautions])}`;
  const name = fileName(build.candidates[index]?.name ?? letter, 'calibration', 'csv');
  return (
    <section className={styles.table} aria-labelledby="calibration-title">
      <div className={styles.bar}>
        <h2 id="calibration-title">Calibration table of {letter}</h2>
        <ToolSelect
          name="What the table shows"
          value={key}
          options={matrices.map((one) => ({ key: one.key, name: `${one.title}, ${one.unit}` }))}
          onChange={setKey}
        />
        <span className="grow" />
        <CarryOff matrix={matrix} csv={csv} fileName={name} isStale={isStale} />
      </div>
      <MatrixTable matrix={matrix} />
      <p className={styles.note}>
        {hasRoad(matrix) ? `Rounded down, never up. ${ROAD_WORDS} ` : 'Everything is rounded down, never up. '}
        {LETTERS[key]}
        {LETTERS[key] && `${lettersOf(table).join(', ')}. `}
        {markWords(study)}
      </p>
      {!isStale && (
        <PrintSheet matrices={matrices} words={words} letters={lettersOf(table).join(', ')} marks={markWords(study)} />
      )}
    </section>
  );
});

/** The table to the clipboard, to a file, to paper; not while it is of inputs that have changed since. */
function CarryOff({
  matrix,
  csv,
  fileName: name,
  isStale,
}: {
  matrix: Matrix;
  csv: () => string;
  fileName: string;
  isStale: boolean;
}) {
  return (
    <>
      <CopyButton
        label="Copy this table for a calibration tool or a spreadsheet"
        isDisabled={isStale}
        text={() => matrixTsv(matrix)}
      />
      <Button
        label="Save all tables as a CSV file"
        isDisabled={isStale}
        onPress={() => saveFile(name, csv(), 'text/csv')}
      >
        CSV
      </Button>
      <Button label="Print all tables" isDisabled={isStale} onPress={() => window.print()}>
        Print
      </Button>
    </>
  );
}

/** One quantity of the calibration table on screen; the cell that all charts point at is marked, and pointing here moves them. */
const MatrixTable = memo(function MatrixTable({ matrix }: { matrix: Matrix }) {
  const [pointed, point] = usePointed();
  const altitudes = matrix.columns.map(({ altitudeM }) => altitudeM);
  const column = pointed.altitudeM === null ? -1 : nearestIndex(altitudes, pointed.altitudeM);
  const speeds = matrix.rows.map(({ engineSpeedRpm }) => engineSpeedRpm);
  const row = pointed.engineSpeedRpm === null ? -1 : nearestIndex(speeds, pointed.engineSpeedRpm);
  const move = (down: number, right: number) => {
    const engineSpeedRpm = speeds[Math.min(Math.max(row + down, 0), speeds.length - 1)];
    const altitudeM = altitudes[Math.min(Math.max(column + right, 0), altitudes.length - 1)];
    point({ ...(engineSpeedRpm !== undefined && { engineSpeedRpm }), ...(altitudeM !== undefined && { altitudeM }) });
  };
  return (
    <section
      className={styles.scroll}
      aria-label="Calibration table, arrow keys walk its cells"
      // biome-ignore lint/a11y/noNoninteractiveTabindex: a box that scrolls must be reachable by keyboard, and its arrow keys walk the cells
      tabIndex={0}
      onKeyDown={(event) => {
        const step = STEPS[event.key];
        if (step === undefined) return;
        event.preventDefault();
        move(...step);
      }}
    >
      <table className={styles.matrix} aria-label={`${matrix.title}, ${matrix.unit}`}>
        <thead>
          <tr>
            <th scope="col">
              Engine speed <span>rpm</span>
            </th>
            {matrix.columns.map((one, i) => (
              <th key={one.key} scope="col" aria-current={i === column || undefined} data-road={one.ofRoad}>
                {one.title} <span>{one.detail}</span>
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {matrix.rows.map((one, r) => (
            <tr key={one.engineSpeedRpm} aria-current={r === row || undefined}>
              <th scope="row">{one.engineSpeed}</th>
              {one.cells.map((cell, c) => (
                <td
                  key={matrix.columns[c]?.key}
                  data-over={cell.isOver || undefined}
                  data-road={matrix.columns[c]?.ofRoad}
                  data-pointed={(r === row && c === column) || undefined}
                  onPointerEnter={() => point({ engineSpeedRpm: one.engineSpeedRpm, altitudeM: altitudes[c] ?? null })}
                >
                  {cell.text}
                  {cell.mark !== '' && <small>{cell.mark}</small>}
                </td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
});

const STEPS: Readonly<Record<string, [number, number]>> = {
  ArrowUp: [-1, 0],
  ArrowDown: [1, 0],
  ArrowLeft: [0, -1],
  ArrowRight: [0, 1],
};

interface PrintSheetProps {
  matrices: readonly Matrix[];
  words: SheetWords;
  letters: string;
  marks: string;
}

/** As many places stand side by side on a page of A4 or Letter. */
const PLACES_ACROSS = 9;

/** All tables on paper, in black on white. In the page it is not seen; printing shows it in place of everything else. */
const PrintSheet = memo(function PrintSheet({ matrices, words, letters, marks }: PrintSheetProps) {
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
    <div className={paperStyles.sheet} aria-hidden="true">
      <h1>{words.title}</h1>
      <p className={paperStyles.by}>
        Lugline, {date}. {words.candidate}
      </p>
      <Sentences as="ul" of={words.remarks} />
      <Sentences as="ul" of={words.cautions} className={paperStyles.cautions} />
      {matrices.flatMap((matrix) => {
        const places = matrix.columns.flatMap(({ ofRoad }, i) => (ofRoad ? [] : [i]));
        const road = matrix.columns.flatMap(({ ofRoad }, i) => (ofRoad ? [i] : []));
        return [
          ...blocks(places).map((block, i) => (
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
          // One column alone says nothing that does not stand beside the shaft speed.
          ...(road.length < 2
            ? []
            : [
                <figure key={`${matrix.key}-road`} className={paperStyles.road}>
                  <figcaption>
                    {matrix.title.replace(' with the goal held', '')} on the road, {matrix.unit}
                    <small>{ROAD_WORDS}</small>
                  </figcaption>
                  <PrintTable matrix={matrix} columns={road} isFilledOnly />
                </figure>,
              ]),
        ];
      })}
      <p className={paperStyles.foot}>Checked by, date: ______________________________</p>
    </div>,
    document.body,
  );
});

/** Columns in as many tables as the paper is narrow. */
function blocks(all: readonly number[]): number[][] {
  const count = Math.max(1, Math.ceil(all.length / PLACES_ACROSS));
  return Array.from({ length: count }, (_, i) => all.slice(i * PLACES_ACROSS, (i + 1) * PLACES_ACROSS));
}

function PrintTable(props: { matrix: Matrix; columns: readonly number[]; isFilledOnly?: boolean }) {
  const { matrix, columns, isFilledOnly = false } = props;
  const isFilled = (row: Matrix['rows'][number]) => columns.some((c) => row.cells[c]?.text !== '');
  return (
    <DataTable
      head={[
        'Engine speed, rpm',
        ...columns.map((c) => (
          <Fragment key={c}>
            {matrix.columns[c]?.title}
            <small>{matrix.columns[c]?.detail}</small>
          </Fragment>
        )),
      ]}
      rows={matrix.rows
        .filter((row) => !isFilledOnly || isFilled(row))
        .map(({ engineSpeedRpm, engineSpeed, cells }) => ({
          key: engineSpeedRpm,
          name: engineSpeed,
          cells: columns.map((c) => (
            <td key={c} data-over={cells[c]?.isOver || undefined}>
              {cells[c]?.text}
              {cells[c]?.mark && <small> {cells[c].mark}</small>}
            </td>
          )),
        }))}
    />
  );
}
