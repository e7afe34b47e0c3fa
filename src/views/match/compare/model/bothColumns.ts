import type { OperatingPoint, OperatingPointSolved } from '../../../../match/index.ts';
import {
  formatNumber,
  kgPerSToSheetFlow,
  NO_NUMBER,
  type SheetFlowUnit,
  sheetFlowUnits,
  unitOf,
} from '../../../../units/index.ts';
import { placeRemark } from '../../../shared/placeRemark.ts';
import { quantityShown, type ResultUnits, type Shown, showResult, unitShown } from '../../../shared/resultUnits.ts';

export interface BothColumn {
  key: string;
  title: string;
  /** '' for a plain number. */
  unit: string;
  /** Left out where there is little room. */
  isMinor: boolean;
  text: (point: OperatingPointSolved) => string;
}

interface FlowAxis {
  unit: SheetFlowUnit;
  reference: { temperatureK: number; pressurePa: number };
}

/**
 * What is read of both candidates at one engine speed, in the user's units; corrected flow at the common reference state. What belongs to
 * the turbine only where one of them has one.
 */
export function bothColumns(units: ResultUnits, flow: FlowAxis | null, hasTurbine = false): readonly BothColumn[] {
  const shown = (
    key: string,
    title: string,
    kind: Shown,
    value: (point: OperatingPointSolved) => number | null,
    isMinor = false,
  ): BothColumn => ({
    key,
    title,
    unit: unitOf(quantityShown(kind), unitShown(kind, units)).label,
    isMinor,
    text: (point) => showResult(value(point), kind, units, { withUnit: false }),
  });
  const correctedFlow: readonly BothColumn[] =
    flow === null
      ? []
      : [
          {
            key: 'flow',
            title: 'Corrected flow',
            unit: sheetFlowUnits[flow.unit].label,
            isMinor: true,
            text: (point) =>
              formatNumber(
                kgPerSToSheetFlow(point.correctedMassFlowKgPerS, flow.unit, flow.reference),
                sheetFlowUnits[flow.unit].decimals,
              ),
          },
        ];
  return [
    shown('wheel-power', 'Wheel power', 'power', (p) => p.wheelPowerW),
    shown('shaft-speed', 'Shaft speed', 'shaft-speed', (p) => p.shaftSpeedRpm),
    shown('speed-margin', 'Speed margin', 'margin', (p) => p.speedMargin),
    shown('surge-margin', 'Surge margin', 'margin', (p) => p.surgeMargin),
    shown('choke-margin', 'Choke margin', 'margin', (p) => p.chokeMargin),
    shown('efficiency', 'Efficiency', 'share', (p) => p.efficiency),
    shown('pressure-ratio', 'Pressure ratio', 'pressure-ratio', (p) => p.pressureRatio),
    ...correctedFlow,
    shown('outlet', 'Outlet temp.', 'temperature', (p) => p.compressorOutletTemperatureK, true),
    shown('intake', 'Intake temp.', 'temperature', (p) => p.manifoldTemperatureK, true),
    ...(hasTurbine
      ? [
          shown('back-pressure', 'p3/p_m', 'pressure-ratio', (p) => p.backPressureRatio),
          shown('gate-share', 'Gate share', 'share', (p) => p.wastegateShare),
        ]
      : []),
  ];
}

/** The texts of one candidate, by column; and what must be known about the point. */
export function bothTexts(
  point: OperatingPoint | null,
  columns: readonly BothColumn[],
): { cells: Readonly<Record<string, string>>; remark: string } {
  const isSolved = point !== null && point.status === 'ok';
  return {
    cells: Object.fromEntries(columns.map(({ key, text }) => [key, isSolved ? text(point) : NO_NUMBER])),
    remark: point === null ? '' : isSolved ? placeRemark(point) : point.message,
  };
}
