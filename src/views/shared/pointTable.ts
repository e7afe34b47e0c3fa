import type { Build, ResultQuantity } from '../../build/index.ts';
import type { OperatingPoint, OperatingPointSolved } from '../../match/index.ts';
import { formatNumber, unitOf } from '../../units/index.ts';
import { quantityShown, type ResultUnits, type Shown, showResult, unitShown } from './resultUnits.ts';

/** What a column needs to know beside the point itself. */
export interface PointContext {
  /** Station pressure of the day, Pa: gauge boost is counted against it. null while the air inputs cannot be read. */
  ambientPressurePa: number | null;
  /** The map is another wheel's, scaled: every row says so. */
  isEstimate?: boolean | undefined;
}

/** One column of the table of operating points, of its copy and of its file. */
export interface PointColumn {
  key: string;
  /** Heading without the unit. */
  title: string;
  shown: Shown;
  /** The choice that changes this column's unit; null where the unit is fixed. */
  unitChoice: ResultQuantity | null;
  /** Room for its widest number and heading, px at the usual text size. */
  width: number;
  /** SI value; null where it is not known. */
  value: (point: OperatingPointSolved, context: PointContext) => number | null;
}

const column = (
  key: string,
  title: string,
  shown: Shown,
  unitChoice: ResultQuantity | null,
  width: number,
  value: PointColumn['value'],
): PointColumn => ({ key, title, shown, unitChoice, width, value });

const COLUMNS: readonly PointColumn[] = [
  column('boost', 'Boost', 'boost', 'pressure', 50, (point, { ambientPressurePa }) =>
    ambientPressurePa === null ? null : point.manifoldPressurePa - ambientPressurePa,
  ),
  column('pressure-ratio', 'Pressure ratio', 'pressure-ratio', null, 62, (point) => point.pressureRatio),
  column('air-flow', 'Air flow', 'air-flow', 'mass-flow', 68, (point) => point.airMassFlowKgPerS),
  column('shaft-speed', 'Shaft speed', 'shaft-speed', null, 76, (point) => point.shaftSpeedRpm),
  column('speed-margin', 'Speed margin', 'margin', null, 70, (point) => point.speedMargin),
  column('surge-margin', 'Surge margin', 'margin', null, 70, (point) => point.surgeMargin),
  column('choke-margin', 'Choke margin', 'margin', null, 70, (point) => point.chokeMargin),
  column('efficiency', 'Efficiency', 'share', null, 70, (point) => point.efficiency),
  column(
    'outlet-temperature',
    'Outlet',
    'temperature',
    'temperature',
    50,
    (point) => point.compressorOutletTemperatureK,
  ),
  column('manifold-temperature', 'Manifold', 'temperature', 'temperature', 66, (point) => point.manifoldTemperatureK),
  column('wheel-power', 'Wheel power', 'power', 'power', 72, (point) => point.wheelPowerW),
  column('crank-power', 'Crank power', 'power', 'power', 72, (point) => point.brakePowerW),
  column('torque', 'Torque', 'torque', 'torque', 54, (point) => point.torqueNm),
];

const DUTY = column('injector-duty', 'Injector duty', 'share', null, 60, (point) => point.injectorDuty);

/** What the turbine does at a point. */
export const TURBINE_COLUMNS: readonly PointColumn[] = [
  column('turbine-pressure', 'p3 absolute', 'absolute-pressure', 'pressure', 88, (p) => p.turbineInletPressurePa),
  column('back-pressure', 'p3/p_m ratio', 'pressure-ratio', null, 60, (p) => p.backPressureRatio),
  column('expansion-ratio', 'Expansion ratio', 'pressure-ratio', null, 70, (p) => p.expansionRatio),
  column('gate-share', 'Gate share', 'share', null, 60, (p) => p.wastegateShare),
];

/** The columns for a build: injector duty only where the fuel supply is checked, the turbine's only where one is known. */
export function pointColumns(
  fuelSupply: Pick<Build['fuelSupply'], 'checked'>,
  hasTurbine = false,
): readonly PointColumn[] {
  if (!fuelSupply.checked && !hasTurbine) return COLUMNS;
  return [...COLUMNS, ...(hasTurbine ? TURBINE_COLUMNS : []), ...(fuelSupply.checked ? [DUTY] : [])];
}

/** Unit label of a column as it stands in a heading: 'kPa', '%', '' for a plain number. */
export function columnUnitLabel(of: Pick<PointColumn, 'shown'>, units: ResultUnits): string {
  return unitOf(quantityShown(of.shown), unitShown(of.shown, units)).label;
}

type TurbineState = NonNullable<OperatingPointSolved['turbine']>;

const REGION_WORDS: Readonly<Record<OperatingPointSolved['region'], string>> = {
  inside: '',
  'left-of-surge': 'left of the surge line',
  'right-of-choke': 'past the choke end',
  'above-top-line': 'above the top line',
  'below-lowest-line': 'below the lowest line',
  outside: 'outside the map',
};

/** What the reader must know about a place of the map: where it lies, and what is extended or assumed. '' for nothing. */
export function placeRemark(place: {
  region: OperatingPointSolved['region'];
  extended: boolean;
  efficiencyAssumed?: boolean;
  /** The map is another wheel's, scaled. */
  estimated?: boolean | undefined;
  turbine?: Pick<TurbineState, 'heldBy' | 'choked'> | null | undefined;
}): string {
  const words = [REGION_WORDS[place.region]];
  // Outside the entered lines the map is always extended: that need not be said twice.
  if (place.extended && place.region === 'inside') words.push('map extended');
  if (place.efficiencyAssumed) words.push('efficiency assumed');
  // That the gate holds the goal goes without saying.
  if (place.turbine?.heldBy === 'turbine') words.push('turbine-limited');
  if (place.turbine?.choked) words.push('turbine choked');
  if (place.estimated) words.push('map estimated');
  return words.filter((word) => word !== '').join(', ');
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

/** All rows of a line, in its order. */
export function pointRows(
  points: readonly OperatingPoint[],
  columns: readonly PointColumn[],
  context: PointContext,
  units: ResultUnits,
): PointRow[] {
  return points.map((point) => {
    const engineSpeed = formatNumber(point.engineSpeedRpm, 0);
    if (point.status !== 'ok') {
      return { engineSpeedRpm: point.engineSpeedRpm, engineSpeed, cells: null, remark: point.message };
    }
    return {
      engineSpeedRpm: point.engineSpeedRpm,
      engineSpeed,
      cells: columns.map((column) =>
        showResult(column.value(point, context), column.shown, units, { withUnit: false }),
      ),
      remark: placeRemark({ ...point, estimated: context.isEstimate }),
    };
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
      return `${fullTitle(column)} [${unit === '' ? '-' : unit}]`;
    }),
    'Remark',
  ];
  const lines = rows.map((row) => [
    plainCell(row.engineSpeed),
    ...columns.map((_, index) => (row.cells === null ? '' : plainCell(row.cells[index] ?? ''))),
    row.remark,
  ]);
  const quote = kind === 'csv' ? csvCell : tsvCell;
  const separator = kind === 'csv' ? ',' : '\t';
  const end = kind === 'csv' ? '\r\n' : '\n';
  return [heading, ...lines].map((cells) => cells.map(quote).join(separator)).join(end) + end;
}

/** 'Outlet' stands under a group heading on screen; alone it needs its noun. */
function fullTitle(column: PointColumn): string {
  return column.shown === 'temperature' ? `${column.title} temperature` : column.title;
}

function plainCell(text: string): string {
  return text === '–' ? '' : text.replaceAll(',', '').replace('−', '-');
}

function csvCell(text: string): string {
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}

function tsvCell(text: string): string {
  return text.replaceAll(/[\t\r\n]+/g, ' ');
}
