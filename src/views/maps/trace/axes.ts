import { type AxisPoint, emptyTracing, isTurbineSheet, type MapDraft, type MapTracing } from '../../../build/index.ts';
import { memory } from '../../../numerics/index.ts';
import {
  type CalibratedSheet,
  type Calibration,
  type CalibrationPoint,
  calibrate,
  type PicturePlace,
  type RatioReader,
  ratioReader,
} from '../../../reading/index.ts';
import { parseNumber, parseQuantity } from '../../../units/index.ts';
import { readReference } from '../editDraft.ts';

const [flow1, flow2, ratio1, ratio2] = emptyTracing.axes.points;

/** The axis that runs across comes first, as one reads. */
const emptyTurbineTracing: MapTracing = {
  ...emptyTracing,
  axes: { ...emptyTracing.axes, points: [ratio1!, ratio2!, flow1!, flow2!] },
};

export const sheetKind = (draft: Pick<MapDraft, 'kind'>): CalibratedSheet =>
  isTurbineSheet(draft) ? 'turbine' : 'compressor';

/** A sheet of that kind that was never traced, about to be. */
export const emptyTracingOf = (draft: Pick<MapDraft, 'kind'>): MapTracing =>
  isTurbineSheet(draft) ? emptyTurbineTracing : emptyTracing;

export function tracingOf(draft: Pick<MapDraft, 'kind' | 'tracing'>): MapTracing {
  return draft.tracing ?? emptyTracingOf(draft);
}

export function withTracing(draft: MapDraft, changed: Partial<MapTracing>): MapDraft {
  return { ...draft, tracing: { ...tracingOf(draft), ...changed } };
}

/** The axes as far as they are known. */
export interface AxesReading {
  calibration: Calibration | null;
  /** What is still to do or wrong, in plain words, with the rows of the table that it is about. */
  problems: readonly { message: string; rows: readonly number[] }[];
  /** Row of the table of each point that the calibration was made of. */
  rows: readonly number[];
}

const byAxes = memory<MapTracing['axes'], AxesReading>();

/** The calibration of the placed points; worked out once for the same points. */
export function readAxes(draft: Pick<MapDraft, 'kind' | 'tracing'>): AxesReading {
  const tracing = tracingOf(draft);
  const { axes, picture } = tracing;
  const sheet = sheetKind(draft);
  return byAxes(axes, [sheet, picture?.width, picture?.height], () => readAnew(tracing, sheet));
}

function readAnew({ axes, picture }: MapTracing, sheet: CalibratedSheet): AxesReading {
  const unfinished: { message: string; rows: number[] }[] = [];
  const points: CalibrationPoint[] = [];
  const rows: number[] = [];
  axes.points.forEach((point, row) => {
    const read = readPoint(point, sheet);
    if (typeof read === 'string') unfinished.push({ message: `${pointName(axes, row, sheet)}: ${read}`, rows: [row] });
    else {
      points.push(read);
      rows.push(row);
    }
  });
  withSharedCorner(points, rows);
  const result = calibrate(points, axes.mode, picture === null ? { sheet } : { sheet, picture });
  if (result.ok) return { calibration: result.calibration, problems: unfinished, rows };
  const problems = result.problems.map((problem) => ({
    message: problem.message,
    rows: problem.points.flatMap((i) => rows[i] ?? []),
  }));
  // While points are still to be placed, that says more than that there are too few.
  return { calibration: null, problems: unfinished.length > 0 ? unfinished : problems, rows };
}

/**
 * Where a point of the flow axis and one of the other axis stand at the same place, the axes cross there, and both values are known of
 * every point of them. The second of the two then says nothing more.
 */
function withSharedCorner(points: CalibrationPoint[], rows: number[]): void {
  const isOn = (p: CalibrationPoint, axis: 'flow' | 'pressureRatio') =>
    p[axis === 'flow' ? 'pressureRatio' : 'flow'] === undefined;
  for (const corner of points.filter((p) => isOn(p, 'flow'))) {
    const at = points.findIndex(
      (p) => isOn(p, 'pressureRatio') && p.place.x === corner.place.x && p.place.y === corner.place.y,
    );
    const other = points[at];
    if (other === undefined) continue;
    const { flow } = corner;
    const { pressureRatio } = other;
    points.splice(at, 1);
    rows.splice(at, 1);
    for (const [i, point] of points.entries()) points[i] = { flow, pressureRatio, ...defined(point) };
    return;
  }
}

function defined(point: CalibrationPoint): CalibrationPoint {
  const { place, flow, pressureRatio } = point;
  return {
    place,
    ...(flow === undefined ? {} : { flow }),
    ...(pressureRatio === undefined ? {} : { pressureRatio }),
  };
}

/** The place of an axis point; null: not placed. */
export function axisPlace(point: AxisPoint): PicturePlace | null {
  const x = parseNumber(point.x);
  const y = parseNumber(point.y);
  return x.ok && y.ok ? { x: x.value, y: y.value } : null;
}

function readPoint(point: AxisPoint, sheet: CalibratedSheet): CalibrationPoint | string {
  const place = axisPlace(point);
  if (place === null) return 'click its place on the picture';
  const flow = parseNumber(point.flow);
  const ratio = parseNumber(point.pressureRatio);
  const needsFlow = point.on !== 'ratio-axis';
  const needsRatio = point.on !== 'flow-axis';
  if (needsFlow && !flow.ok) return 'enter the flow that is printed there';
  if (needsRatio && !ratio.ok) return `enter the ${RATIO[sheet].name.toLowerCase()} that is printed there`;
  return {
    place,
    ...(needsFlow && flow.ok ? { flow: flow.value } : {}),
    ...(needsRatio && ratio.ok ? { pressureRatio: ratio.value } : {}),
  };
}

const RATIO = {
  compressor: { name: 'Pressure ratio', axis: 'Pressure-ratio axis', short: 'PR' },
  turbine: { name: 'Expansion ratio', axis: 'Expansion-ratio axis', short: 'ER' },
} as const;

/** 'PR2': what there is room for beside a row. */
export function shortName(axes: MapTracing['axes'], row: number, sheet: CalibratedSheet): string {
  const short = { 'flow-axis': 'F', 'ratio-axis': RATIO[sheet].short, grid: 'G' }[axes.points[row]?.on ?? 'grid'];
  return `${short}${numberOf(axes, row)}`;
}

/** 'Flow axis 2 (F2)': with the name that stands in the table. */
export function pointName(axes: MapTracing['axes'], row: number, sheet: CalibratedSheet): string {
  const on = axes.points[row]?.on ?? 'grid';
  const name = { 'flow-axis': 'Flow axis', 'ratio-axis': RATIO[sheet].axis, grid: 'Grid' }[on];
  return `${name} ${numberOf(axes, row)} (${shortName(axes, row, sheet)})`;
}

function numberOf(axes: MapTracing['axes'], row: number): number {
  const on = axes.points[row]?.on ?? 'grid';
  return axes.points.slice(0, row + 1).filter((point) => point.on === on).length;
}

/** How the sheet's pressure ratios are read: as they stand, or with the outlet's dynamic pressure added where its diameter is known. */
export const ratiosOf = (draft: MapDraft): RatioReader => ratioReader(staticOutlet(draft), draft.flowUnit);

/** The outlet that static ratios are corrected with; null where the sheet prints totals, or diameter or reference are not known yet. */
export function staticOutlet(draft: MapDraft) {
  const { habits } = draft;
  if (habits?.outletPressure !== 'static') return null;
  const diameter = parseQuantity(habits.outletDiameter.text, 'wheel-length', habits.outletDiameter.unit);
  const reference = readReference(draft);
  return diameter.ok && diameter.si > 0 && reference !== null ? { diameterM: diameter.si, reference } : null;
}
