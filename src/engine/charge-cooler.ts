import type { CoolerInput } from './types.ts';

/**
 * Effectiveness of a charge cooler at a flow: a constant, or linear between entered flows and constant outside them.
 * @param cooler entered flows in rising order
 * @param massFlowKgPerS of charge air
 * @returns 0..1; 0 without a cooler
 */
export function coolerEffectiveness(cooler: CoolerInput, massFlowKgPerS: number): number {
  if (cooler.kind === 'none') return 0;
  const points = cooler.effectivenessAtFlow;
  const first = points?.[0];
  if (points === undefined || first === undefined) return cooler.effectiveness;
  let below = first;
  for (const point of points) {
    if (massFlowKgPerS <= point.massFlowKgPerS) {
      const width = point.massFlowKgPerS - below.massFlowKgPerS;
      const share = width > 0 ? (massFlowKgPerS - below.massFlowKgPerS) / width : 1;
      return below.effectiveness + share * (point.effectiveness - below.effectiveness);
    }
    below = point;
  }
  return below.effectiveness;
}

/** True where the effectiveness changes with flow. */
export function dependsOnFlow(cooler: CoolerInput): boolean {
  return cooler.kind === 'cooler' && (cooler.effectivenessAtFlow?.length ?? 0) > 1;
}

/**
 * Temperature after the cooler: T - effectiveness (T - coolant temperature). A coolant warmer than the charge heats it.
 * @param temperatureK before it, K
 * @returns K; the temperature before it without a cooler
 */
export function cooledTemperature(cooler: CoolerInput, massFlowKgPerS: number, temperatureK: number): number {
  if (cooler.kind === 'none') return temperatureK;
  return temperatureK - coolerEffectiveness(cooler, massFlowKgPerS) * (temperatureK - cooler.coolantTemperatureK);
}
