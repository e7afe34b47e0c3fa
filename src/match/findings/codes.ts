import type { NoPointReason } from '../types.ts';

/**
 * Every code a finding may carry, with the severities it comes in and the numbers in `values` (SI). `engineSpeedRpm` is where it is
 * worst; `rangeRpm` the run of neighbouring engine speeds over which it holds. Findings come worst first.
 */
export interface FindingValues {
  /** stop. Shaft faster than the limit. margin = 1 - N/Nmax, below 0. */
  overspeed: { shaftSpeedRpm: number; limitRpm: number; margin: number };
  /** caution. Under the limit but within the reserve; reserve 0..0.5. */
  'speed-reserve': { shaftSpeedRpm: number; limitRpm: number; margin: number; reserve: number };
  /** note. No maximum shaft speed entered: nothing can be said about overspeed. */
  'no-speed-limit': { shaftSpeedRpm: number };
  /** stop. Left of the surge line; surgeMargin below 0, or absent where the surge end is not known. */
  'left-of-surge': { surgeMargin?: number; correctedMassFlowKgPerS: number; pressureRatio: number };
  /** caution. Right of the surge line, by less than the margin asked for. */
  'surge-margin': { surgeMargin: number; leastMargin: number };
  /** stop. Beyond the choke end of the speed line; chokeMargin below 0, or absent. */
  choked: { chokeMargin?: number; correctedMassFlowKgPerS: number; pressureRatio: number };
  /** caution. */
  'choke-margin': { chokeMargin: number; leastMargin: number };
  /** stop. */
  'outlet-temperature': { temperatureK: number; limitK: number };
  /** stop. Absolute. */
  'manifold-pressure': { pressurePa: number; limitPa: number };
  /** stop. */
  'brake-power': { powerW: number; limitW: number };
  /** stop over 1 (cannot be delivered), caution over the duty limit. */
  'injector-duty': { duty: number; dutyLimit: number };
  /** stop. Rail pressure leaves no pressure difference across the injector. */
  'injector-pressure': { pressureDifferencePa: number };
  /** stop. */
  'pump-flow': { flowM3PerS: number; pumpFlowM3PerS: number };
  /** note. A fuel supply is entered that the check does not cover (a gaseous fuel). */
  'fuel-supply-not-checked': Record<string, never>;
  /** caution above the top line, note below the lowest. */
  'map-extended-above': { correctedSpeedRpm: number; highestLineRpm: number };
  'map-extended-below': { correctedSpeedRpm: number; lowestLineRpm: number };
  /** caution. Between the entered lines' speeds, but past their points. */
  'map-extended': { correctedMassFlowKgPerS: number; pressureRatio: number };
  /** caution. */
  'efficiency-assumed': { efficiency: number };
  /**
   * caution. The map is another wheel's, scaled. Bands as half widths (shares; efficiency in points); trimDifference in points of trim,
   * absent where a trim is not known; sizeRatio of the wheel over that of the donor.
   */
  'map-estimated': {
    surgeFlowBand: number;
    chokeFlowBand: number;
    pressureRatioBand: number;
    efficiencyBand: number;
    correctedSpeedBand: number;
    sizeRatio: number;
    trimDifference?: number | undefined;
  };
  /** caution. Brake thermal efficiency = 1 / (bsfc LHV) that no engine of the kind reaches: bsfc or its unit is probably wrong. */
  'bsfc-implausible': { thermalEfficiency: number; bsfcKgPerJ: number };
  /** note. A curve is held at its end value because its points do not reach this engine speed. */
  'curve-held-volumetric-efficiency': CurveHeld;
  'curve-held-lambda': CurveHeld;
  'curve-held-bsfc': CurveHeld;
  'curve-held-goal': CurveHeld;
  /** note. Port injection of a fuel that does not evaporate there is computed as direct. */
  'port-diesel-as-direct': Record<string, never>;
  /** note. The charge is cooled below its dew point: water comes out, which the computation leaves in the gas. */
  'water-condenses': { manifoldTemperatureK: number; dewPointRatio: number };
  /** note. */
  'peak-power': { brakePowerW: number; wheelPowerW: number };
  'peak-torque': { torqueNm: number };
  'peak-shaft-speed': { shaftSpeedRpm: number };
  /** good. Every engine speed has a point and every limit that was entered holds with its margin. */
  'within-limits': { points: number; speedMargin?: number; surgeMargin?: number; chokeMargin?: number };
}

export interface CurveHeld {
  firstPointRpm: number;
  lastPointRpm: number;
  value: number;
}

/**
 * stop, but 'no-point-no-compression' is a note: the engine draws that much by itself. `values` hold correctedMassFlowKgPerS and
 * pressureRatio of the demand where it is known, and points, how many engine speeds the run holds.
 */
export type NoPointCode = `no-point-${NoPointReason}`;

export type FindingCode = keyof FindingValues | NoPointCode;
