import type { Build } from '../../build/index.ts';
import {
  fileHeading,
  type OperatingPoint,
  RESULTS,
  type ResultKey,
  type ResultUnits,
  resultsAt,
  shortTitle,
  showPoint,
  unitLabel,
  whoseWords,
} from '../../match/index.ts';
import { bareNumber, formatNumber, plainBlanks } from '../../units/index.ts';
import { formatClipboardTable, formatCsv } from '../../widgets/index.ts';
import { placeRemark } from './mapDrawing.ts';

/** One column of the table of operating points, of its copy, of its file and of the sheet. */
export interface PointColumn {
  key: ResultKey;
  /** Heading without the unit, where room is short. */
  title: string;
  /** 'per turbo' or 'engine', on a line of its own; '' for nothing to say. */
  whose: string;
  /** Room for its widest number and heading, px at the usual text size. */
  width: number;
}

const USUAL_WIDTH = 70;

/** The columns for a build: injector duty only where the fuel supply is checked, the turbine's and its gate's only where they are known. */
export function pointColumns(
  { checked }: Pick<Build['fuelSupply'], 'checked'>,
  hasTurbine = false,
  units: Pick<ResultUnits, 'several'> = {},
  hasGate = false,
): readonly PointColumn[] {
  return resultsAt('pointTable', { turbine: hasTurbine, gate: hasGate, 'fuel-supply': checked }).map((key) => ({
    key,
    title: shortTitle(key, {}),
    whose: whoseWords(key, units).replace('of the ', ''),
    width: RESULTS[key].width ?? USUAL_WIDTH,
  }));
}

/** Unit label of a column as it stands in a heading: 'kPa', '%', '' for a plain number. */
export function columnUnitLabel({ key }: Pick<PointColumn, 'key'>, units: ResultUnits): string {
  return unitLabel(RESULTS[key].shown, units);
}

/** A row of the table in words and figures, ready for screen, paper and clipboard. */
export interface PointRow {
  engineSpeedRpm: number;
  /** '6,400' */
  engineSpeed: string;
  /** One text a column; null: the engine speed has no operating point, `remark` says why. */
  cells: readonly string[] | null;
  /** What must be known about the point, '' for nothing. */
  remark: string;
}

/**
 * All rows of a line, in its order.
 * @param context station pressure of the day, null while it cannot be read; and whether the map is another wheel's, scaled
 */
export function pointRows(
  points: readonly OperatingPoint[],
  columns: readonly PointColumn[],
  { ambientPressurePa, isEstimate }: { ambientPressurePa: number | null; isEstimate?: boolean | undefined },
  units: ResultUnits,
): PointRow[] {
  return points.map((point) => {
    const { engineSpeedRpm } = point;
    const engineSpeed = formatNumber(engineSpeedRpm, 0);
    if (point.status !== 'ok') return { engineSpeedRpm, engineSpeed, cells: null, remark: point.message };
    const cells = columns.map(({ key }) => showPoint(key, point, units, { ambientPressurePa, withUnit: false }));
    return { engineSpeedRpm, engineSpeed, cells, remark: placeRemark({ ...point, estimated: isEstimate }) };
  });
}

/**
 * The table as text for a spreadsheet, units in the headings. Thousands separators are taken out and the typographic minus is
 * replaced, so that a spreadsheet reads numbers; a missing value is an empty cell.
 * @param kind 'tsv' for the clipboard, 'csv' (RFC 4180, CRLF line ends) for a file.
 */
export function pointTableText(
  rows: readonly PointRow[],
  columns: readonly PointColumn[],
  units: ResultUnits,
  kind: 'tsv' | 'csv',
): string {
  const heading = [
    'Engine speed [rpm]',
    ...columns.map((column) => {
      const unit = columnUnitLabel(column, units);
      return `${fileHeading(column.key, units)} [${unit === '' ? '-' : unit}]`;
    }),
    'Remark',
  ];
  const lines = rows.map((row) => [
    bareNumber(row.engineSpeed),
    ...columns.map((_, index) => (row.cells === null ? '' : bareNumber(row.cells[index] ?? ''))),
    plainBlanks(row.remark),
  ]);
  const table = [heading, ...lines];
  return kind === 'csv' ? formatCsv(table) : `${formatClipboardTable(table)}\n`;
}
