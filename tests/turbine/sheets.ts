import { fitCapacity } from '../../src/turbine/index.ts';
import type { TurbineCapacity, TurbineLine, TurbineSheet } from '../../src/turbine/types.ts';

export const REFERENCE = { temperatureK: 288.15, pressurePa: 101_325 };

/** Invented. */
export function sheetOf(lines: readonly TurbineLine[], more: Partial<TurbineSheet> = {}): TurbineSheet {
  const flow = { kind: 'corrected', unit: 'kg/s', reference: REFERENCE } as const;
  return { name: 'Test', source: 'invented', invented: true, flow, lines, ...more };
}

/** m2 for 1 kg/s of corrected flow, and reduced speed for 1 rpm of corrected speed, at REFERENCE: by hand. */
export const M2_PER_KG_PER_S = Math.sqrt(287.05 * 288.15) / 101_325;
export const REDUCED_PER_RPM = 1 / Math.sqrt(287.05 * 288.15);

export function fitted(sheet: TurbineSheet): { capacity: TurbineCapacity; notes: readonly string[] } {
  const fit = fitCapacity(sheet);
  if (!fit.ok) throw new Error(fit.problems.map(({ path, message }) => `${path}: ${message}`).join('; '));
  return fit;
}
