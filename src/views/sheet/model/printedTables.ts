import type { Build, Candidate } from '../../../build/index.ts';
import { type ResultUnits, resultUnits } from '../../../match/index.ts';
import type { AltitudeStudy, CandidateResults, CandidateStudy, TableStudy } from '../../../store/index.ts';
import { gateOpenWords, heldVerdict } from '../../shared/altitudeStudies.ts';
import { calibrationMatrix, lettersOf, type Matrix, type MatrixKey } from '../../shared/calibrationMatrix.ts';
import { type ControlSheet, type ControlShown, controlSheet } from '../../shared/controlTable.ts';
import { candidateLetter, isEstimated } from '../../shared/display.ts';
import { NOT_THE_ENGINE, TABLE_CAUTIONS } from '../../shared/fileNotes.ts';
import { columnUnitLabel, type PointRow, pointColumns, pointRows } from '../../shared/pointTable.ts';
import { spacedRows } from './paper.ts';
import type { SheetInput } from './sheetModel.ts';

/** The table of operating points on paper: the columns and the cells of the screen, with as many rows as there is room for. */
export interface PrintedPoints {
  letter: string;
  /** The map is another wheel's, scaled. */
  isEstimated: boolean;
  columns: readonly { key: string; title: string; unit: string }[];
  rows: readonly PointRow[];
  /** '' when every engine speed is printed; else how many are. */
  note: string;
}

export function printedPoints(
  build: Build,
  results: CandidateResults,
  index: number,
  units: ResultUnits,
  mostRows: number,
): PrintedPoints {
  const hasTurbine = results.points.some((point) => point.status === 'ok' && point.turbine !== null);
  const hasGate = results.input?.turbine?.gateAreaM2 !== undefined;
  const columns = pointColumns(build.fuelSupply, hasTurbine, units, hasGate);
  const context = { ambientPressurePa: results.input?.ambient.pressurePa ?? null };
  const all = pointRows(results.points, columns, context, units);
  const picked = spacedRows(
    results.points.map(({ engineSpeedRpm }) => engineSpeedRpm),
    mostRows,
  );
  const rows = picked.flatMap((i) => all[i] ?? []);
  return {
    letter: candidateLetter(index),
    isEstimated: isEstimated(results.candidate),
    columns: columns.map((column) => ({
      key: column.key,
      title: `${column.title} ${column.whose.replace(' ', '\u00a0')}`.trimEnd(),
      unit: columnUnitLabel(column, units),
    })),
    rows,
    note:
      rows.length === all.length
        ? ''
        : `${rows.length} of ${all.length} engine speeds; all of them stand in the build file.`,
  };
}

/** Marks that stand with an engine speed, each with its words beneath the table: a column of words would cost the numbers their room. */
interface RemarkMarks {
  /** Mark of a row by its remark. */
  markOf: ReadonlyMap<string, string>;
  /** 'a: below the lowest line; b: left of the surge line' */
  words: string;
}

export function remarkMarks(rows: readonly PointRow[]): RemarkMarks {
  const remarks = [...new Set(rows.flatMap(({ cells, remark }) => (cells === null || remark === '' ? [] : [remark])))];
  const markOf = new Map(remarks.map((remark, i) => [remark, String.fromCharCode(97 + i)]));
  return { markOf, words: remarks.map((remark) => `${markOf.get(remark)}: ${remark}`).join('; ') };
}

/** One table over engine speed and place, whole. */
export interface PrintedMatrix {
  key: string;
  /** 'A: allowed boost, bar gauge' */
  title: string;
  matrix: Matrix;
}

export interface CalibrationSheet {
  /** 'ready': the tables are those of the present inputs. 'computing': they are not there yet, and none is printed. 'none': there is none. */
  state: 'ready' | 'computing' | 'none';
  /** What stands in place of tables; '' when they are ready. */
  words: string;
  tables: readonly PrintedMatrix[];
  /** What the letters in the cells mean, and how many engine speeds are left out. */
  notes: readonly string[];
  /** How far up the goal holds, one sentence a candidate. */
  held: readonly string[];
}

/** More places than this do not fit side by side; then a table continues in a second one, whole again. */
const MOST_PLACES = { pair: 9, alone: 16 };

interface Asked {
  /** null: no study is done. */
  result: AltitudeStudy | null;
  isCurrent: boolean;
  problem: string | null;
  indices: readonly number[];
  units: ResultUnits;
  mostRows: number;
}

/** The calibration tables of the candidates: what is allowed, and for one candidate alone the shaft speed to expect as well. */
export function calibrationSheet({ result, isCurrent, problem, indices, units, mostRows }: Asked): CalibrationSheet {
  const empty = { tables: [], notes: [], held: [] };
  if (problem !== null) return { ...empty, state: 'none', words: `Calibration table: ${problem}` };
  if (result === null || !isCurrent) {
    return {
      ...empty,
      state: 'computing',
      words: 'The calibration table is being computed. It is not on this sheet yet.',
    };
  }
  const studies = indices.flatMap((index) => {
    const study = result.candidates[index] ?? null;
    return study === null ? [] : [{ index, study }];
  });
  const usable = studies.filter(({ study }) => study.calibration !== null);
  if (usable.length === 0) {
    return {
      ...empty,
      state: 'none',
      words:
        'No calibration table: a candidate has no operating line, or the step or the blades past the sensor cannot be read.',
    };
  }
  const tables = usable.flatMap(({ index, study }) =>
    keysFor(indices.length).flatMap((key) => matricesOf(result, study, index, key, units, mostRows)),
  );
  return {
    state: 'ready',
    words: '',
    tables,
    notes: [...notesOf(usable, tables), ...usable.flatMap(gateOf(result))],
    held: usable.map(heldOf(result)),
  };
}

function keysFor(candidates: number): readonly MatrixKey[] {
  return candidates > 1 ? ['allowed'] : ['allowed', 'shaft-ceiling'];
}

function matricesOf(
  { build }: AltitudeStudy,
  { calibration }: CandidateStudy,
  index: number,
  key: MatrixKey,
  units: ResultUnits,
  mostRows: number,
): PrintedMatrix[] {
  if (calibration === null) return [];
  const whole = calibrationMatrix(build, calibration, key, units);
  const rows = spacedRows(calibration.engineSpeedsRpm, mostRows).flatMap((i) => whole.rows[i] ?? []);
  const count = whole.columns.length;
  const parts = Math.max(1, Math.ceil(count / (count <= MOST_PLACES.pair ? MOST_PLACES.pair : MOST_PLACES.alone)));
  // As many in each part: one place alone in a second table would look lost.
  const most = Math.ceil(count / parts);
  return Array.from({ length: parts }, (_, part) => {
    const within = (_item: unknown, i: number) => Math.floor(i / most) === part;
    return {
      key: `${index}-${key}-${part}`,
      title: `${nameOf(build.candidates[index], index)}: ${whole.title}, ${whole.unit}${part === 0 ? '' : ' (further places)'}`,
      matrix: {
        ...whole,
        columns: whole.columns.filter(within),
        rows: rows.map((row) => ({ ...row, cells: row.cells.filter(within) })),
      },
    };
  });
}

/** 'A', or 'A (estimate)' where the map is another wheel's, scaled. */
function nameOf(candidate: Candidate | undefined, index: number): string {
  const isEstimate = candidate !== undefined && isEstimated(candidate);
  return `${candidateLetter(index)}${isEstimate ? ' (estimate)' : ''}`;
}

function notesOf(usable: readonly { study: CandidateStudy }[], tables: readonly PrintedMatrix[]): readonly string[] {
  const letters = new Set(
    usable.flatMap(({ study }) => (study.calibration === null ? [] : lettersOf(study.calibration))),
  );
  const all = usable[0]?.study.calibration?.engineSpeedsRpm.length ?? 0;
  const printed = tables[0]?.matrix.rows.length ?? 0;
  return [
    `Rounded down, never up. What binds: ${[...letters].join(', ')}. Underlined: holding the goal itself crosses a limit there.`,
    ...(printed < all ? [`${printed} of ${all} engine speeds; the Altitude view saves all of them.`] : []),
  ];
}

function gateOf({ build }: AltitudeStudy) {
  return ({ index, study }: { index: number; study: CandidateStudy }) => {
    const words = gateOpenWords(build, study);
    return words === null ? [] : [`${candidateLetter(index)}: ${words}`];
  };
}

function heldOf(result: AltitudeStudy) {
  return ({ index, study }: { index: number; study: CandidateStudy }) => {
    const { headline, next } = heldVerdict(result.build, study);
    return [`${candidateLetter(index)}: ${headline}`, next].filter(Boolean).join(' ');
  };
}

/** One page of the table for the control unit. */
export interface ControlPage {
  key: string;
  title: string;
  /** What stands in place of the table; null: the table. */
  words: string | null;
  sheet: ControlSheet | null;
  /** Column numbers of each block; a wide table stands in two, one under the other. */
  blocks: readonly (readonly number[])[];
  cautions: readonly string[];
}

/** As many columns stand side by side at a size that is read at arm's length, and as many rows one under the other. */
const MOST_ACROSS = 16;
const MOST_DOWN = 36;

/** The pages of the table: what is to be keyed in, and where a table was pasted, that one against the ceilings. */
export function controlPages({ build, settings, table }: SheetInput): readonly ControlPage[] {
  if (table === undefined) return [];
  const empty = { sheet: null, blocks: [], cautions: [] };
  const title = `Control unit table: ${build.name}`;
  if (table.study === null) {
    const words = table.problem ?? 'The table is being computed. It is not on this sheet yet.';
    return [{ ...empty, key: 'control-0', title, words }];
  }
  const { study } = table;
  const shown: ControlShown[] = study.setup.options.entered === undefined ? ['target'] : ['target', 'entered'];
  return shown.flatMap((one) => pagesOf(study, one, title, resultUnits(settings)));
}

function pagesOf(study: TableStudy, shown: ControlShown, title: string, units: ResultUnits): ControlPage[] {
  const sheet = controlSheet(study, shown, units);
  const count = Math.ceil(sheet.columns.length / MOST_ACROSS);
  const most = Math.ceil(sheet.columns.length / count);
  const blocks = Array.from({ length: count }, (_, i) =>
    sheet.columns.map((_column, c) => c).slice(i * most, (i + 1) * most),
  );
  const together = sheet.rows.length * count <= MOST_DOWN ? [blocks] : blocks.map((block) => [block]);
  return together.map((part, i) => ({
    key: `control-${shown}-${i}`,
    title: `${title}, candidate ${candidateLetter(study.candidateIndex)}${i === 0 ? '' : ' (continued)'}`,
    words: null,
    sheet,
    blocks: part,
    cautions: [...TABLE_CAUTIONS, NOT_THE_ENGINE],
  }));
}
