import type { Build } from '../../build/index.ts';
import {
  bindingLook,
  type CalibrationCell,
  type CalibrationTable,
  fullTitle,
  type ResultUnits,
  showResult,
  titleWithOwner,
  unitShown,
} from '../../match/index.ts';
import type { RoadLogResult, RoadLogRow } from '../../match/types.ts';
import { formatNumber, fromSi, NO_NUMBER, unitOf } from '../../units/index.ts';
import { altitudeUnit, placeAir, placeName, stepDecimals, tunerPressure } from './altitudeStudies.ts';

/** What a matrix of the table shows in its cells. */
export const MATRIX_KEYS = [
  'allowed',
  'target',
  'shaft-goal',
  'shaft-ceiling',
  'pickup-goal',
  'pickup-ceiling',
  'power-goal',
  'power-ceiling',
] as const;
export type MatrixKey = (typeof MATRIX_KEYS)[number];

interface MatrixColumn {
  key: string;
  title: string;
  /** The air of the place. */
  detail: string;
  altitudeM: number | null;
  /** What a road log gives, beside the places. */
  ofRoad?: true;
}

interface MatrixCell {
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

/** In a cell where every boost crosses a limit: that is an answer, and not the dash of what is not known. */
export const NONE_ALLOWED = 'none';

/** Rounded down to whole steps of a unit: an alarm set to it comes early, never late. */
function down(value: number | undefined, step: number): string {
  return value === undefined ? NO_NUMBER : formatNumber(Math.floor(value / step + 1e-9) * step, 0);
}

function readers(build: Build, table: CalibrationTable, units: ResultUnits): Readonly<Record<MatrixKey, Reader>> {
  const pressure = tunerPressure(build);
  const decimals = stepDecimals(build);
  const { stepPa, kind } = table.options;
  const step = fromSi(stepPa, 'pressure-difference', pressure.unit);
  const stepped = (steps: { steps: number } | null, { allowed }: CalibrationCell) =>
    steps !== null ? formatNumber(steps.steps * step, decimals) : allowed === null ? NONE_ALLOWED : NO_NUMBER;
  const unit = `${pressure.label} ${kind === 'gauge' ? 'gauge' : 'absolute'}`;
  const powerUnit = unitShown('power', units);
  const powerLabel = unitOf('power', powerUnit).label;
  const power = (w: number | undefined) => down(w === undefined ? undefined : fromSi(w, 'power', powerUnit), 1);
  return {
    allowed: {
      title: kind === 'gauge' ? 'Allowed boost' : 'Allowed manifold pressure',
      unit,
      text: (cell) => stepped(cell.allowed, cell),
      mark: (cell) => bindingLook(cell.binding).letter,
    },
    target: {
      title: 'Target: the lower of goal and ceiling',
      unit,
      text: (cell) => stepped(cell.target, cell),
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
      title: `${titleWithOwner('Pickup frequency', 'shaftSpeedRpm', units)} with the goal held`,
      unit: 'Hz',
      text: (c) => down(c.atGoal?.pickupFrequencyHz, 1),
    },
    'pickup-ceiling': {
      title: `${titleWithOwner('Pickup frequency', 'shaftSpeedRpm', units)} at the ceiling`,
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

/** What a road log measured, to stand beside what is expected at its own boost and air; of the target, the boost that was logged. */
interface MeasuredColumn extends Pick<RoadLogResult, 'rows' | 'ambient'> {
  bladesPastSensor: number;
}

type RoadColumn = [title: string, detail: string, text: (at: MeasuredAt) => string];

function roadColumns(
  build: Build,
  table: CalibrationTable,
  key: MatrixKey,
  { ambient, bladesPastSensor }: MeasuredColumn,
  units: ResultUnits,
): RoadColumn[] {
  const pressure = tunerPressure(build);
  const basis = table.options.kind === 'gauge' ? 'gauge' : 'absolute';
  const air = `${showResult(ambient.temperatureK, 'temperature', units)}, ${showResult(ambient.pressurePa, 'barometer', units)}`;
  const boost = (at: MeasuredAt) =>
    formatNumber(pressure.value(at.manifoldPressurePa, ambient.pressurePa), pressure.decimals);
  if (key === 'target') return [['Measured', `on the road, ${air}`, boost]];
  const texts: Partial<Record<MatrixKey, (shaftSpeedRpm: number) => string>> = {
    'shaft-goal': (rpm) => formatNumber(Math.round(rpm / 10) * 10, 0),
    'pickup-goal': (rpm) => formatNumber((rpm / 60) * bladesPastSensor, 0),
  };
  const text = texts[key];
  if (text === undefined) return [];
  return [
    [`Logged, ${pressure.label} ${basis}`, 'on the road', boost],
    ['Expected', `at that, ${air}`, (at) => text(at.predictedShaftSpeedRpm)],
    ['Measured', 'on the road', (at) => text(at.shaftSpeedRpm)],
  ];
}

export function calibrationMatrix(
  build: Build,
  table: CalibrationTable,
  key: MatrixKey,
  units: ResultUnits,
  measured: MeasuredColumn | null = null,
): Matrix {
  const matrix = expectedMatrix(build, table, key, units);
  const road = measured === null ? [] : roadColumns(build, table, key, measured, units);
  const logged = new Map(measuredAt(measured?.rows ?? [], table.engineSpeedsRpm).map((at) => [at.engineSpeedRpm, at]));
  if (road.length === 0 || logged.size === 0) return matrix;
  return {
    ...matrix,
    columns: [
      ...matrix.columns,
      ...road.map(([title, detail], i) => ({
        key: `road ${i}`,
        title,
        detail,
        altitudeM: null,
        ofRoad: true as const,
      })),
    ],
    // Engine speeds that the log does not cover are empty there.
    rows: matrix.rows.map((row) => {
      const at = logged.get(row.engineSpeedRpm);
      const cells = road.map(([, , text]) => ({ text: at === undefined ? '' : text(at), mark: '', isOver: false }));
      return { ...row, cells: [...row.cells, ...cells] };
    }),
  };
}

export const hasRoad = ({ columns }: Matrix): boolean => columns.some(({ ofRoad }) => ofRoad);
export const ROAD_WORDS =
  'On the road: means of the log near that engine speed, rounded to the nearest; expected at the pressure and air of the log.';

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

/** Rows within this of an engine speed are of it, rpm. */
const NEAR_RPM = 60;

interface MeasuredAt {
  engineSpeedRpm: number;
  shaftSpeedRpm: number;
  predictedShaftSpeedRpm: number;
  manifoldPressurePa: number;
}

/** Means of what a road log measured at engine speeds; those that it does not cover are left out. */
export function measuredAt(rows: readonly RoadLogRow[], engineSpeedsRpm: readonly number[]): MeasuredAt[] {
  return engineSpeedsRpm.flatMap((engineSpeedRpm) => {
    const near = rows.flatMap((row) => {
      const { used, shaftSpeedRpm, predictedShaftSpeedRpm, manifoldPressurePa } = row;
      const isNear = used && Math.abs(row.engineSpeedRpm - engineSpeedRpm) <= NEAR_RPM;
      return isNear && shaftSpeedRpm !== null && predictedShaftSpeedRpm !== null && manifoldPressurePa !== null
        ? [{ shaftSpeedRpm, predictedShaftSpeedRpm, manifoldPressurePa }]
        : [];
    });
    if (near.length === 0) return [];
    const mean = (key: keyof (typeof near)[number]) => near.reduce((sum, row) => sum + row[key], 0) / near.length;
    return [
      {
        engineSpeedRpm,
        shaftSpeedRpm: mean('shaftSpeedRpm'),
        predictedShaftSpeedRpm: mean('predictedShaftSpeedRpm'),
        manifoldPressurePa: mean('manifoldPressurePa'),
      },
    ];
  });
}
