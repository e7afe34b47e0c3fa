import { DRY_AIR_GAS_CONSTANT } from '../air/index.ts';
import { flowParameterPressures, sheetFlowFactor } from '../units/index.ts';
import type { TurbineSheet } from './types.ts';

/**
 * Flow parameter psi = W sqrt(R T0) / (A p0) of an isentropic nozzle of area A, for one ratio of specific heats whose constants are
 * worked out once: an answer costs a logarithm and two exponentials. The form with expm1 keeps its digits as the ratio goes to 1.
 * Source: Saravanamuttoo et al., Gas Turbine Theory, appendix A; NACA Report 1135 (both from memory).
 */
export class NozzleLaw {
  /** p0/p at which the throat is sonic. */
  readonly criticalExpansionRatio: number;
  readonly logCritical: number;
  /** psi of the choked nozzle: sqrt(gamma) (2/(gamma+1))^((gamma+1)/(2(gamma-1))). */
  readonly chokedFlowParameter: number;
  private readonly temperatureExponent: number;
  private readonly densityExponent: number;
  private readonly factor: number;

  /** @param gamma ratio of specific heats, above 1 */
  constructor(gamma: number) {
    this.logCritical = (gamma / (gamma - 1)) * Math.log((gamma + 1) / 2);
    this.criticalExpansionRatio = Math.exp(this.logCritical);
    this.chokedFlowParameter = Math.sqrt(gamma) * (2 / (gamma + 1)) ** ((gamma + 1) / (2 * (gamma - 1)));
    this.temperatureExponent = -(gamma - 1) / gamma;
    this.densityExponent = -1 / gamma;
    this.factor = (2 * gamma) / (gamma - 1);
  }

  /** @param expansionRatio total to static, p0/p; 0 at 1 and below (no flow backwards), constant from the critical ratio on. */
  at(expansionRatio: number): number {
    return this.atLog(Math.log(expansionRatio));
  }

  /** @param logExpansionRatio natural logarithm of p0/p: so that a power of the ratio costs a product. */
  atLog(logExpansionRatio: number): number {
    const x = logExpansionRatio;
    if (!(x > 0)) return 0;
    if (x >= this.logCritical) return this.chokedFlowParameter;
    return Math.exp(this.densityExponent * x) * Math.sqrt(-this.factor * Math.expm1(this.temperatureExponent * x));
  }
}

/** Ratio of specific heats of exhaust in the capacity's nozzle law; gas turbine practice (Saravanamuttoo et al.; Dixon & Hall ch. 8). */
const EXHAUST_GAMMA = 4 / 3;
export const EXHAUST_NOZZLE = new NozzleLaw(EXHAUST_GAMMA);

/**
 * Flow parameter W sqrt(R T0) / (A p0) of an isentropic nozzle.
 * @param expansionRatio total to static, p0/p
 * @param gamma ratio of specific heats, above 1; 1 to 1.67 for gases
 * @returns 0 at a ratio of 1 and below, constant once choked. To evaluate often for one gamma, keep a `NozzleLaw`.
 */
export function nozzleFlowParameter(expansionRatio: number, gamma: number): number {
  return new NozzleLaw(gamma).at(expansionRatio);
}

/** Expansion ratio p0/p at which a nozzle chokes: ((gamma+1)/2)^(gamma/(gamma-1)). @param gamma above 1 */
export function criticalExpansionRatio(gamma: number): number {
  return ((gamma + 1) / 2) ** (gamma / (gamma - 1));
}

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

/**
 * Effective area, m2 (flow coefficient times area), of an opening that passes a flow of exhaust beside the turbine: W sqrt(R T3) / (p3
 * psi(p3/p4)), an isentropic nozzle. Source: as NozzleLaw.
 * @param rootRT sqrt(R T3), m/s
 * @param expansionRatio p3/p4; at 1 and below nothing flows
 * @returns Infinity where a flow is asked for and nothing drives it
 */
export function openingFor(
  massFlowKgPerS: number,
  rootRT: number,
  inletPressurePa: number,
  expansionRatio: number,
): number {
  return massFlowKgPerS === 0 ? 0 : (massFlowKgPerS * rootRT) / (inletPressurePa * EXHAUST_NOZZLE.at(expansionRatio));
}

/**
 * What a sheet's flow times this is W sqrt(R T03)/p03 in m2. A corrected flow is referred with the gas constant of dry air, 287.05
 * J/(kg K), which sheets mean (or measure with); a parameter sheet's W sqrt(T03)/p03 lacks just the root of it.
 */
export function flowParameterFactor({ flow }: Pick<TurbineSheet, 'flow'>): number {
  if (flow.kind === 'parameter') return Math.sqrt(DRY_AIR_GAS_CONSTANT) / flowParameterPressures[flow.pressureUnit];
  const { temperatureK, pressurePa } = flow.reference;
  return (sheetFlowFactor(flow.unit, flow.reference) * Math.sqrt(DRY_AIR_GAS_CONSTANT * temperatureK)) / pressurePa;
}

/** What a sheet's speed times this is N / sqrt(R T03), rpm per (m/s). */
export function reducedSpeedFactor({ flow }: Pick<TurbineSheet, 'flow'>): number {
  const referenceK = flow.kind === 'corrected' ? flow.reference.temperatureK : 1;
  return 1 / Math.sqrt(DRY_AIR_GAS_CONSTANT * referenceK);
}

/**
 * Isentropic efficiency over the blade speed ratio as a parabola: best (2 v - v^2) with v = (U/C0) / optimum; 0 at standstill, `best` at
 * the optimum. Beyond v = 2 it is negative: the wheel then drives the gas (windage), which a solver must see as such.
 * Source: Guzzella & Onder, Introduction to Modeling and Control of Internal Combustion Engine Systems; Watson & Janota,
 * Turbocharging the Internal Combustion Engine (both from memory).
 * @param best efficiency at the optimum, 0..1
 * @param optimum U/C0 at which it is best, about 0.6 to 0.75
 * @param speedRatio U/C0, U at the rotor's larger diameter
 */
export function speedRatioEfficiency(best: number, optimum: number, speedRatio: number): number {
  const v = speedRatio / optimum;
  return best * v * (2 - v);
}

/**
 * Spouting velocity C0, m/s: what the gas would reach expanding isentropically from the total state before the turbine to the pressure
 * behind it.
 * @param isentropicDropJPerKg h03 - h4s, J/kg; 0 where there is none
 */
export function spoutingVelocity(isentropicDropJPerKg: number): number {
  return isentropicDropJPerKg > 0 ? Math.sqrt(2 * isentropicDropJPerKg) : 0;
}

/**
 * Blade speed ratio U/C0; an ideal radial turbine without swirl behind it is best at 1/sqrt(2).
 * @param shaftSpeedRpm physical
 * @param wheelDiameterM the rotor's larger diameter
 * @param isentropicDropJPerKg h03 - h4s
 * @returns U/C0, or null without a drop
 */
export function bladeSpeedRatio(
  shaftSpeedRpm: number,
  wheelDiameterM: number,
  isentropicDropJPerKg: number,
): number | null {
  const velocity = spoutingVelocity(isentropicDropJPerKg);
  return velocity > 0 ? (Math.PI * wheelDiameterM * shaftSpeedRpm) / (60 * velocity) : null;
}

/*
 * The moment of inertia of a turbo's rotor about its own axis, kg m2: wheels, shaft and nut together.
 */

/**
 * From the swing of a rotor that hangs by three threads, its axis upright in the middle: J = m g r^2 T^2 / (4 pi^2 L).
 * Source: the trifilar pendulum of small swings. On small rotors Chung et al. (2017, abstract) found 3 % on turbine rotors; compressor
 * wheels are too light to be swung alone.
 *
 * @param massKg of what swings; with a platform its mass, whose own inertia is then to be taken off
 * @param radiusM of the circle on which the threads hold it
 * @param periodS of a whole swing, there and back
 * @param lengthM of the threads, upright
 */
export function trifilarInertia(massKg: number, radiusM: number, periodS: number, lengthM: number): number {
  return (massKg * GRAVITY * radiusM * radiusM * periodS * periodS) / (4 * Math.PI * Math.PI * lengthM);
}

const GRAVITY = 9.80665;

/** Cast nickel alloy of turbine wheels, aluminium alloy of compressor wheels, kg/m3 (common practice, no source). */
const TURBINE_DENSITY = 8_000;
const COMPRESSOR_DENSITY = 2_750;

/**
 * A guess from the larger diameters of both wheels: 0.008 rho_t D_t^5 + 0.006 rho_c D_c^5 (from memory). Inertias of published engines do
 * not follow it: never without INERTIA_GUESS_BAND.
 * @param turbineM inducer diameter of the turbine wheel
 * @param compressorM exducer diameter of the compressor wheel
 */
export function guessedInertia(turbineM: number, compressorM: number): number {
  return 0.008 * TURBINE_DENSITY * turbineM ** 5 + 0.006 * COMPRESSOR_DENSITY * compressorM ** 5;
}

/** Half widths as shares: of a guess from diameters, of a swing as Chung et al. found it, of a number whose origin is not known. */
export const INERTIA_BAND = { diameters: 0.5, trifilar: 0.03, entered: 0.1 } as const;
