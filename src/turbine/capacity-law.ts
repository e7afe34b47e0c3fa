import { EXHAUST_NOZZLE } from './nozzle.ts';

/**
 * Flow parameter = area times psi(e^(exponent z)), z = x^2 / (x + heldBack s^2), x = ln ER, s the reduced speed.
 * The exponent: a nozzle that sees only a part of the expansion, so that two restrictions in series choke later than one.
 * heldBack: the rotor's own centrifugal field opposes the flow, ln of the pressure ratio that it holds going with the square of speed
 * (Watson & Janota; Whitfield & Baines, from memory). Taken off as x^2 / (x + held) and not as x - held, there is flow at any
 * expansion: flow backwards is not modelled.
 */
export interface CapacityLaw {
  areaM2: number;
  exponent: number;
  /** Per (rpm per (m/s))^2; 0 where speeds are not known. */
  heldBack: number;
}

/** The expansion that drives flow, as a logarithm: what is left of ln ER when the rotation has taken its part. */
export function drivingLog(heldBack: number, logRatio: number, reducedSpeed: number): number {
  return (logRatio * logRatio) / (logRatio + heldBack * reducedSpeed * reducedSpeed);
}

/**
 * Flow parameter by the law alone, m2.
 * @param expansionRatio p03/p4; 0 at 1 and below
 * @param reducedSpeed N / sqrt(R T03), rpm per (m/s)
 */
export function lawFlowParameter(
  law: { areaM2: number; exponent: number; heldBack?: number | undefined },
  expansionRatio: number,
  reducedSpeed: number,
): number {
  const x = Math.log(expansionRatio);
  return x > 0 ? law.areaM2 * EXHAUST_NOZZLE.atLog(law.exponent * drivingLog(law.heldBack ?? 0, x, reducedSpeed)) : 0;
}
