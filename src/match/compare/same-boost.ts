import type { OperatingPoint } from '../types.ts';
import type { SameBoost } from './types.ts';

/** Manifold pressures within this share of each other are the same boost. */
const SAME_PRESSURE = 0.001;

/**
 * 'Same boost, more power': both held against each other at one manifold pressure. Air goes with volumetric efficiency and charge density,
 * so that at the same pressure what differs is back-pressure (which leaves burnt gas in the cylinders: ideal-cycle residual gas, Heywood,
 * Internal Combustion Engine Fundamentals, ch. 5, from memory) and charge temperature.
 *
 * @param a points of the known candidate
 * @param b points of the proposed one
 * @returns at the engine speed of a's highest power among those where both hold the same manifold pressure within 0.1 %; null where there
 *   is none, or a turbine is not known
 */
export function sameBoost(a: readonly OperatingPoint[], b: readonly OperatingPoint[]): SameBoost | null {
  const driven = (points: readonly OperatingPoint[]) =>
    points.flatMap((point) =>
      point.status === 'ok' && point.turbine !== null && point.backPressureRatio !== null
        ? [{ ...point, breathing: point.turbine.breathingFactor, backPressure: point.backPressureRatio }]
        : [],
    );
  const ofB = new Map(driven(b).map((point) => [point.engineSpeedRpm, point]));
  let found: SameBoost | null = null;
  let highest = 0;
  for (const first of driven(a)) {
    const second = ofB.get(first.engineSpeedRpm);
    if (second === undefined || first.brakePowerW <= highest) continue;
    const { engineSpeedRpm, manifoldPressurePa } = first;
    if (Math.abs(second.manifoldPressurePa / manifoldPressurePa - 1) > SAME_PRESSURE) continue;
    highest = first.brakePowerW;
    found = {
      engineSpeedRpm,
      manifoldPressurePa,
      airGain: second.airMassFlowKgPerS / first.airMassFlowKgPerS - 1,
      powerGain: second.brakePowerW / first.brakePowerW - 1,
      breathingA: first.breathing,
      breathingB: second.breathing,
      backPressureA: first.backPressure,
      backPressureB: second.backPressure,
    };
  }
  return found;
}
