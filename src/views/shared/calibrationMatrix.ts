import type { Build } from '../../build/index.ts';
import {
  bindingLook,
  type CalibrationCell,
  type CalibrationTable,
  fullTitle,
  type ResultUnits,
  saidWhose,
  showResult,
  unitShown,
} from '../../match/index.ts';
import type { RoadLogResult } from '../../match/types.ts';
import { formatNumber, fromSi, NO_NUMBER, unitOf } from '../../units/index.ts';
import { altitudeUnit, placeAir, placeName, stepDecimals, tunerPressure } from './altitudeStudies.ts';
import { type MeasuredAt, measuredAt } from './measuredRows.ts';

/** What a matrix of the table shows in its cells. */
export type MatrixKey =
  | 'allowed'
  | 'target'
  | 'shaft-goal'
  | 'shaft-ceiling'
  | 'pickup-goal'
  | 'pickup-ceiling'
  | 'power-goal'
  | 'power-ceiling';

export interface MatrixColumn {
  key: string;
  title: string;
  /** The air of the place. */
  detail: string;
  altitudeM: number | null;
}

export interface MatrixCell {
  text: string;
  /** Letter of what binds; '' where the kind of matrix has none. */
  mark: string;
  /** Holding the goal crosses a limit here. */
  isOver: boolean;
}

/** One quantity over engine speed (rows) and place (columns). Everything is rounded down, never up. */
export interface Matrix {
  key: MatrixKey;
  title: string;
  unit: string;
  columns: readonly MatrixColumn[];
  rows: readonly { engineSpeedRpm: number; engineSpeed: string; cells: readonly MatrixCell[] }[];
}

interface Reader {
  title: string;
  unit: string;
  text: (cell: CalibrationCell) => string;
  /** What stands behind the number: the limit that binds the ceiling, or the one that the goal crosses. */
  mark?: (cell: CalibrationCell) => string;
}

/** Rounded down to whole steps of a unit: an alarm set to it comes early, never late. */
function down(value: number | undefined, step: number): string {
  return value === undefined ? NO_NUMBER : formatNumber(Math.floor(value / step + 1e-9) * step, 0);
}

function readers(build: Build, table: CalibrationTable, units: ResultUnits): Readonly<Record<MatrixKey, Reader>> {
  const pressure = tunerPressure(build);
  const decimals = stepDecimals(build);
  const { stepPa, kind } = table.options;
  const step = fromSi(stepPa, 'pressure-difference', pressure.unit);
  const stepped = (steps: { steps: number } | null) =>
    steps === null ? NO_NUMBER : formatNumber(steps.steps * step, decimals);
  const unit = `${pressure.label} ${kind === 'gauge' ? 'gauge' : 'absolute'}`;
  const powerUnit = unitShown('power', units);
  const powerLabel = unitOf('power', powerUnit).label;
  const power = (w: number | undefined) => down(w === undefined ? undefined : fromSi(w, 'power', powerUnit), 1);
  return {
    allowed: {
      title: kind === 'gauge' ? 'Allowed boost' : 'Allowed manifold pressure',
      unit,
      text: (cell) => stepped(cell.allowed),
      mark: (cell) => bindingLook(cell.binding).letter,
    },
    target: {
      title: 'Target: the lower of goal and ceiling',
      unit,
      text: (cell) => stepped(cell.target),
      mark: (cell) => (cell.goalCrosses === null ? '' : bindingLook(cell.goalCrosses).letter),
    },
    'shaft-goal': {
      title: `${fullTitle('shaftSpeedRpm', units)} with the goal held`,
      unit: 'rpm',
      text: (c) => down(c.atGoal?.shaftSpeedRpm, 10),
    },
    'shaft-ceiling': {
      title: `${fullTitle('shaftSpeedRpm', units)} at the ceiling`,
      unit: 'rpm',
      text: (c) => down(c.atCeiling?.shaftSpeedRpm, 10),
    },
    'pickup-goal': {
      title: `${saidWhose('Pickup frequency', 'shaftSpeedRpm', units)} with the goal held`,
      unit: 'Hz',
      text: (c) => down(c.atGoal?.pickupFrequencyHz, 1),
    },
    'pickup-ceiling': {
      title: `${saidWhose('Pickup frequency', 'shaftSpeedRpm', units)} at the ceiling`,
      unit: 'Hz',
      text: (c) => down(c.atCeiling?.pickupFrequencyHz, 1),
    },
    'power-goal': {
      title: 'Power at the wheels with the goal held',
      unit: powerLabel,
      text: (c) => power(c.atGoal?.wheelPowerW),
    },
    'power-ceiling': {
      title: 'Power at the wheels at the ceiling',
      unit: powerLabel,
      text: (c) => power(c.atCeiling?.wheelPowerW),
    },
  };
}

export const MATRIX_KEYS: readonly MatrixKey[] = [
  'allowed',
  'target',
  'shaft-goal',
  'shaft-ceiling',
  'pickup-goal',
  'pickup-ceiling',
  'power-goal',
  'power-ceiling',
];

/** What a road log measured, to stand beside what is expected: with the goal held, and as boost beside the target. */
interface MeasuredColumn extends Pick<RoadLogResult, 'rows' | 'ambient'> {
  bladesPastSensor: number;
}

function measuredCells(
  build: Build,
  table: CalibrationTable,
  key: MatrixKey,
  { rows, ambient, bladesPastSensor }: MeasuredColumn,
): (MatrixCell | null)[] | null {
  const pressure = tunerPressure(build);
  const boost = (pa: number) => formatNumber(pressure.value(pa, ambient.pressurePa), pressure.decimals);
  const tens = (value: number) => formatNumber(Math.round(value / 10) * 10, 0);
  const texts: Partial<Record<MatrixKey, (at: MeasuredAt) => string>> = {
    target: (at) => boost(at.manifoldPressurePa),
    'shaft-goal': (at) => tens(at.shaftSpeedRpm),
    'pickup-goal': (at) => formatNumber((at.shaftSpeedRpm / 60) * bladesPastSensor, 0),
  };
  const text = texts[key];
  if (text === undefined) return null;
  const measured = new Map(measuredAt(rows, table.engineSpeedsRpm).map((at) => [at.engineSpeedRpm, at]));
  if (measured.size === 0) return null;
  return table.engineSpeedsRpm.map((rpm) => {
    const at = measured.get(rpm);
    const mark = key === 'target' || at === undefined ? '' : `at ${boost(at.manifoldPressurePa)} ${pressure.label}`;
    return at === undefined ? null : { text: text(at), mark, isOver: false };
  });
}

export function calibrationMatrix(
  build: Build,
  table: CalibrationTable,
  key: MatrixKey,
  units: ResultUnits,
  measured: MeasuredColumn | null = null,
): Matrix {
  const ofLog = measured === null ? null : measuredCells(build, table, key, measured);
  return withMeasured(expectedMatrix(build, table, key, units), ofLog, measured, units);
}

/** The matrix with a column of what was measured; engine speeds that the log does not cover are empty there. */
function withMeasured(
  matrix: Matrix,
  cells: (MatrixCell | null)[] | null,
  measured: MeasuredColumn | null,
  units: ResultUnits,
): Matrix {
  if (cells === null || measured === null) return matrix;
  const { pressurePa, temperatureK } = measured.ambient;
  const detail = `on the road, ${showResult(temperatureK, 'temperature', units)}, ${showResult(pressurePa, 'barometer', units)}`;
  return {
    ...matrix,
    columns: [...matrix.columns, { key: 'measured', title: 'Measured', detail, altitudeM: null }],
    rows: matrix.rows.map((row, k) => ({
      ...row,
      cells: [...row.cells, cells[k] ?? { text: '', mark: '', isOver: false }],
    })),
  };
}

function expectedMatrix(build: Build, table: CalibrationTable, key: MatrixKey, units: ResultUnits): Matrix {
  const reader = readers(build, table, units)[key];
  const unit = altitudeUnit(build);
  return {
    key,
    title: reader.title,
    unit: reader.unit,
    columns: table.places.map((place, p) => ({
      key: `${p}`,
      title: placeName(place, unit),
      detail: placeAir(place, unit, units),
      altitudeM: place.altitudeM,
    })),
    rows: table.engineSpeedsRpm.map((engineSpeedRpm, k) => ({
      engineSpeedRpm,
      engineSpeed: formatNumber(engineSpeedRpm, 0),
      cells: table.cells.map((row): MatrixCell => {
        const cell = row[k]!;
        return {
          text: reader.text(cell),
          mark: reader.mark?.(cell) ?? '',
          isOver: cell.goalCrosses !== null,
        };
      }),
    })),
  };
}

/** 'N shaft speed, S surge margin': the letters that occur in a table. */
export function lettersOf(table: CalibrationTable): string[] {
  const used = new Map<string, string>();
  for (const limit of table.cells.flat().flatMap(({ binding, goalCrosses }) => [binding, goalCrosses ?? []].flat())) {
    const { letter, name, group = name.toLowerCase() } = bindingLook(limit);
    used.set(letter, group);
  }
  return [...used].map(([letter, name]) => `${letter} ${name}`);
}
