import { fromSi, unitOf } from '../../../../units/index.ts';
import { type ResultUnits, unitShown } from '../../../shared/resultUnits.ts';
import { type DrivenPoint, drivenPoints, type TurbineSide } from './turbineSide.ts';

interface Column {
  title: string;
  unit: string;
  value: (point: DrivenPoint) => number;
  decimals: number;
}

function columnsIn(units: ResultUnits): readonly Column[] {
  const pressure = unitShown('absolute-pressure', units);
  const temperature = unitShown('temperature', units);
  const flow = unitShown('air-flow', units);
  const pa = (value: number) => fromSi(value, 'pressure-absolute', pressure);
  const pressureUnit = unitOf('pressure-absolute', pressure).label;
  const places = pressure === 'kPa' ? 1 : 3;
  return [
    { title: 'p3', unit: pressureUnit, decimals: places, value: (p) => pa(p.turbineInletPressurePa) },
    { title: 'p4', unit: pressureUnit, decimals: places, value: (p) => pa(p.turbine.outletPressurePa) },
    { title: 'p_m', unit: pressureUnit, decimals: places, value: (p) => pa(p.manifoldPressurePa) },
    { title: 'p3/p_m', unit: '-', decimals: 3, value: (p) => p.backPressureRatio },
    { title: 'Expansion ratio', unit: '-', decimals: 3, value: (p) => p.expansionRatio },
    { title: 'Gate share', unit: '%', decimals: 1, value: (p) => 100 * p.wastegateShare },
    {
      title: 'Turbine inlet temperature',
      unit: unitOf('temperature', temperature).label,
      decimals: 0,
      value: (p) => fromSi(p.turbine.inletTemperatureK, 'temperature', temperature),
    },
    {
      title: 'Flow through the turbine',
      unit: unitOf('mass-flow', flow).label,
      decimals: flow === 'g/s' ? 1 : flow === 'kg/s' ? 4 : 2,
      value: (p) => fromSi(p.turbine.massFlowKgPerS, 'mass-flow', flow),
    },
  ];
}

/** The numbers of the charts for a spreadsheet, tab-separated, units in the headings; empty where an engine speed has no point. */
export function turbineTableText(sides: readonly TurbineSide[], units: ResultUnits): string {
  const columns = columnsIn(units);
  const heading = [
    'Candidate',
    'Engine speed [rpm]',
    ...columns.map(({ title, unit }) => `${title} [${unit}]`),
    'Held by',
  ];
  const rows = sides.flatMap((side) =>
    drivenPoints(side.results).map((point, i) => [
      side.letter,
      String(side.results.points[i]?.engineSpeedRpm ?? ''),
      ...columns.map(({ value, decimals }) => (point === null ? '' : value(point).toFixed(decimals))),
      point?.turbine.heldBy ?? '',
    ]),
  );
  return [heading, ...rows].map((cells) => `${cells.join('\t')}\n`).join('');
}
