import type { CompressorSurface, ReferenceState } from '../types.ts';
import { TransformedSurface } from './transformed-surface.ts';

/**
 * Factors from corrected flow and speed at one reference state to those at another: Wc ~ sqrt(T01/Tref) pref/p01 and
 * Nc ~ 1/sqrt(T01/Tref), so that flow goes with sqrt(Tfrom/Tto) pto/pfrom and speed with sqrt(Tto/Tfrom).
 * Source: delta and theta of NASA practice (NASA TM X-71633). Exact for the same gas.
 *
 * @param from K and Pa, above 0
 * @param to K and Pa, above 0
 */
export function referenceFactors(from: ReferenceState, to: ReferenceState): { flow: number; speed: number } {
  const root = Math.sqrt(to.temperatureK / from.temperatureK);
  return { flow: to.pressurePa / from.pressurePa / root, speed: root };
}

/**
 * The same map at another reference state: what puts two maps on equal axes. The rated speed is a physical one and stays.
 * @returns the very same surface where the states are equal
 */
export function referTo(surface: CompressorSurface, reference: ReferenceState): CompressorSurface {
  const { temperatureK, pressurePa } = surface.reference;
  if (temperatureK === reference.temperatureK && pressurePa === reference.pressurePa) return surface;
  const { flow, speed } = referenceFactors(surface.reference, reference);
  return new TransformedSurface({
    source: surface,
    reference,
    speedFactor: speed,
    surgeFlowFactor: flow,
    chokeFlowFactor: flow,
    limits: surface.limits,
    wheel: surface.wheel,
    ...(surface.estimate === undefined ? {} : { estimate: surface.estimate }),
  });
}
