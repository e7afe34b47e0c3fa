import type { Fuel } from './fuels.ts';
import type { FuelSupply } from './types.ts';

export type InjectorDuty =
  | { ok: true; duty: number; pressureDifferencePa: number }
  /** 'no-pressure': the rail is at or below the pressure that the injector sprays into; 'gaseous-fuel': the law below is for liquids. */
  | { ok: false; reason: 'no-pressure' | 'gaseous-fuel'; pressureDifferencePa: number };

/**
 * Share of the time that the injectors must be open. Their flow grows with the square root of the pressure difference (orifice law,
 * Bernoulli); the rated flow is taken as a volume, the same for each liquid (the small effect of density on it is left out).
 *
 * @param fuelMassFlowKgPerS of the whole engine
 * @param manifoldPressurePa,ambientPressurePa absolute; with a rail referred to the manifold the difference is the rail pressure, with
 *   one referred to ambient a boosted manifold takes from it
 * @returns duty 0.., above 1 where it cannot be delivered; or why there is none
 */
export function injectorDuty(
  supply: FuelSupply,
  fuel: Fuel,
  fuelMassFlowKgPerS: number,
  manifoldPressurePa: number,
  ambientPressurePa: number,
): InjectorDuty {
  const overManifold = supply.railReference === 'manifold' ? 0 : ambientPressurePa - manifoldPressurePa;
  const pressureDifferencePa = supply.railPressurePa + overManifold;
  if (fuel.phase === 'gas') return { ok: false, reason: 'gaseous-fuel', pressureDifferencePa };
  if (!(pressureDifferencePa > 0)) return { ok: false, reason: 'no-pressure', pressureDifferencePa };
  const oneInjector = supply.injectorFlowM3PerS * Math.sqrt(pressureDifferencePa / supply.injectorRatedPressurePa);
  const duty = fuelMassFlowKgPerS / fuel.densityKgPerM3 / (supply.injectorCount * oneInjector);
  return { ok: true, duty, pressureDifferencePa };
}

/** Volume of liquid fuel that the engine burns, m3/s: what the pump must deliver at rail pressure. null for a gaseous fuel. */
export function fuelVolumeFlow(fuel: Fuel, fuelMassFlowKgPerS: number): number | null {
  return fuel.phase === 'gas' ? null : fuelMassFlowKgPerS / fuel.densityKgPerM3;
}
