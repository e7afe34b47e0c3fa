import type { Build, ResultQuantity } from '../../build/index.ts';
import type { OperatingPointSolved } from '../../match/index.ts';
import { unitOf } from '../../units/index.ts';
import { quantityShown, type ResultUnits, type Shown, unitShown } from './resultUnits.ts';

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
