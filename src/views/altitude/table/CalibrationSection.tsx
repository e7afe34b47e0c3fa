import { memo, useMemo, useState } from 'react';
import type { AltitudeStudy, CandidateStudy } from '../../../store/index.ts';
import { Button } from '../../../widgets/index.ts';
import {
  calibrationMatrix,
  lettersOf,
  MATRIX_KEYS,
  type Matrix,
  type MatrixKey,
} from '../../shared/altitudeStudies.ts';
import { useResultUnits } from '../../shared/display.ts';
import { candidateLetter } from '../../shared/provenance.ts';
import { CopyButton, fileName, saveFile, ToolSelect } from '../../shared/ToolBar.tsx';
import styles from '../altitude.module.css';
import { matricesCsv, matrixTsv } from '../model/matrixText.ts';
import { markWords, sheetWords } from '../model/sheetWords.ts';
import { MatrixTable } from './MatrixTable.tsx';
import { PrintSheet } from './PrintSheet.tsx';

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
  const matrices = useMemo(
    () => (table === null ? [] : MATRIX_KEYS.map((one) => calibrationMatrix(build, table, one, units))),
    [build, table, units],
  );
  const letter = candidateLetter(index);
  const matrix = matrices.find((one) => one.key === key);
  const words = useMemo(() => sheetWords(build, study, index), [build, study, index]);
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
        <span className={styles.spring} />
        <CarryOff matrix={matrix} csv={csv} fileName={name} isStale={isStale} />
      </div>
      <MatrixTable matrix={matrix} />
      <p className={styles.note}>
        Everything is rounded down, never up. {LETTERS[key]}
        {LETTERS[key] && `${lettersOf(table)}. `}
        {markWords(study)}
      </p>
      {!isStale && <PrintSheet matrices={matrices} words={words} letters={lettersOf(table)} marks={markWords(study)} />}
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
