import type { FlowUnit } from './types.ts';

/** Steps that a person rounds to, coarsest first. */
const STEPS = [1, 0.5, 0.2, 0.1, 0.05, 0.02, 0.01, 0.005, 0.002, 0.001, 0.0005, 0.0002, 0.0001] as const;

/**
 * The rounding step of a column of entered numbers: the coarsest of 1, 0.5, 0.2, 0.1 ... 0.0001 (times `unit`) of which every value is a
 * whole multiple. 0 when there is none (values carried over from a calculation) or when there are fewer than two values.
 */
export function readingStep(values: readonly number[], unit = 1): number {
  if (values.length < 2) return 0;
  for (const step of STEPS) {
    if (values.every((value) => Math.abs(value / (step * unit) - Math.round(value / (step * unit))) < 1e-4)) {
      return step * unit;
    }
  }
  return 0;
}

/** Coarser flow steps exist only where the unit's numbers are large: cfm sheets are read to 5 or 10. */
export function flowReadingStep(flows: readonly number[], unit: FlowUnit): number {
  const tens = unit === 'cfm' ? readingStep(flows, 10) : 0;
  return tens || readingStep(flows);
}

/** Standard deviation of a uniform rounding error over one step. */
export const ROUNDING_DEVIATION = 1 / Math.sqrt(12);
