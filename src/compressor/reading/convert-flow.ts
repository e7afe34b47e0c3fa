import { flowFactor } from '../fit-surface.ts';
import type { FlowUnit, ReferenceState } from '../types.ts';

/**
 * A sheet's flow in another unit. Between mass and volume by the density of dry air at the reference state, which is what a sheet's
 * volume flow means. Exact factors otherwise.
 */
export function convertFlow(value: number, from: FlowUnit, to: FlowUnit, reference: ReferenceState): number {
  return from === to ? value : (value * flowFactor(from, reference)) / flowFactor(to, reference);
}
