import { DRY_AIR_GAS_CONSTANT } from '../air/index.ts';
import type { FlowUnit, MapSheet, ReferenceState } from './types.ts';

const KG_PER_LB = 0.45359237;
const M3_PER_FT3 = 0.028316846592;

/**
 * Factor from a sheet's flow unit to corrected mass flow in kg/s. Volume flows mean volume at the reference state:
 * Wc = Q pref / (Rref Tref).
 */
export function flowFactor(unit: FlowUnit, reference: ReferenceState): number {
  const density = reference.pressurePa / (DRY_AIR_GAS_CONSTANT * reference.temperatureK);
  switch (unit) {
    case 'kg/s':
      return 1;
    case 'lb/min':
      return KG_PER_LB / 60;
    case 'm3/s':
      return density;
    case 'cfm':
      return (M3_PER_FT3 / 60) * density;
  }
}

/** A point of a speed line that the surface can use. */
export interface LinePoint {
  line: number;
  speedRpm: number;
  flowKgPerS: number;
  pressureRatio: number;
  efficiency: number | null;
}

export interface ContourPoint {
  flowKgPerS: number;
  pressureRatio: number;
  efficiency: number;
}

/** A pressure ratio nearer to 1 than this has no head to speak of: left out of the fit (the audit names it). */
export const LEAST_PRESSURE_RATIO = 1.002;

function usable(flow: number, pressureRatio: number): boolean {
  return Number.isFinite(flow) && flow > 0 && Number.isFinite(pressureRatio) && pressureRatio >= LEAST_PRESSURE_RATIO;
}

/** Points of the speed lines in SI, lines in rising speed, points in the order of the sheet. */
export function linePoints(sheet: MapSheet): LinePoint[] {
  const factor = flowFactor(sheet.flowUnit, sheet.reference);
  return sheet.speedLines
    .map((line, index) => ({ line, index }))
    .filter(({ line }) => Number.isFinite(line.speedRpm) && line.speedRpm > 0)
    .sort((a, b) => a.line.speedRpm - b.line.speedRpm)
    .flatMap(({ line, index }) =>
      line.points
        .filter((point) => usable(point.flow, point.pressureRatio))
        .map((point) => ({
          line: index,
          speedRpm: line.speedRpm,
          flowKgPerS: point.flow * factor,
          pressureRatio: point.pressureRatio,
          efficiency: usableEfficiency(point.efficiency) ? point.efficiency : null,
        })),
    );
}

function usableEfficiency(value: number | undefined): value is number {
  return value !== undefined && Number.isFinite(value) && value > 0 && value < 1;
}

export function contourPoints(sheet: MapSheet): ContourPoint[] {
  const factor = flowFactor(sheet.flowUnit, sheet.reference);
  return (sheet.islands ?? []).flatMap((island) =>
    usableEfficiency(island.efficiency)
      ? island.points
          .filter((point) => usable(point.flow, point.pressureRatio))
          .map((point) => ({
            flowKgPerS: point.flow * factor,
            pressureRatio: point.pressureRatio,
            efficiency: island.efficiency,
          }))
      : [],
  );
}

export function surgePoints(sheet: MapSheet): { flowKgPerS: number; pressureRatio: number }[] {
  const factor = flowFactor(sheet.flowUnit, sheet.reference);
  return (sheet.surgeLine ?? [])
    .filter((point) => usable(point.flow, point.pressureRatio))
    .map((point) => ({ flowKgPerS: point.flow * factor, pressureRatio: point.pressureRatio }));
}
