import { FittedCapacity } from './fitted-capacity.ts';
import { EXHAUST_NOZZLE } from './nozzle.ts';
import type { TurbineCapacity } from './types.ts';

export interface TurbineMeasurements {
  /** The rotor's larger diameter. */
  inducerM?: number | undefined;
  /** The rotor's smaller diameter, where the gas leaves. */
  exducerM?: number | undefined;
  /** A/R of the housing as a length. */
  areaRadiusM?: number | undefined;
  /** Height of the blades at the larger diameter. */
  tipHeightM?: number | undefined;
  /** Half width of what the calipers may be off. Left out: 0.05 mm. */
  caliperM?: number | undefined;
  /** Whether areaRadiusM is of both entries of a twin scroll, or of one. Left out: all. */
  entries?: 'all' | 'one' | undefined;
}

export type CapacityEstimate =
  | { ok: true; capacity: TurbineCapacity; notes: readonly string[] }
  | { ok: false; missing: readonly string[] };

const USUAL_CALIPER_M = 5e-5;
const BAND = 0.15;
/** Common practice, no source. */
const THROAT_RADIUS_SHARE = 1.5;
const USUAL_INFLOW_ANGLE = (70 * Math.PI) / 180;
const HUB_SHARE = 0.35;
const EXIT_COSINE = 0.5;
const DISCHARGE = 0.95;

/** Swallowing capacity from wheel and housing measurements. */
export function estimateCapacity(measured: TurbineMeasurements): CapacityEstimate {
  const { inducerM, exducerM, areaRadiusM } = measured;
  const missing: string[] = [];
  if (!(inducerM !== undefined && inducerM > 0)) missing.push('turbine inducer diameter (the larger one)');
  if (!(exducerM !== undefined && exducerM > 0)) missing.push('turbine exducer diameter (the smaller one)');
  if (!(areaRadiusM !== undefined && areaRadiusM > 0)) missing.push('turbine A/R');
  if (!inducerM || !exducerM || !areaRadiusM || missing.length > 0) return { ok: false, missing };
  const stator =
    areaRadiusM * (measured.entries === 'one' ? 2 : 1) * (inducerM / 2) * Math.sin(USUAL_INFLOW_ANGLE) * 1.335;
  const rotor = (Math.PI / 4) * exducerM ** 2 * (1 - HUB_SHARE ** 2) * EXIT_COSINE * DISCHARGE;
  const area = Math.min(stator, rotor);
  const exponent = 1 / area ** 2 / (1 / stator ** 2 + 1 / rotor ** 2);
  const caliper = (2 * (measured.caliperM ?? USUAL_CALIPER_M)) / exducerM;
  const logRatio = EXHAUST_NOZZLE.logCritical / exponent;
  const capacity = new FittedCapacity('estimate', Math.hypot(BAND, caliper), { areaM2: area, exponent }, [
    {
      line: { reducedSpeed: null, points: [] },
      knots: [{ logRatio, flowParameterM2: area * EXHAUST_NOZZLE.chokedFlowParameter }],
      efficiencies: [],
    },
  ]);
  return { ok: true, capacity, notes: [`Throat radius ${THROAT_RADIUS_SHARE} of the wheel's.`] };
}
