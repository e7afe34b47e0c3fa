import { EXHAUST_NOZZLE } from './nozzle.ts';

/** What of a vaneless radial turbine the flow through it is worked out from. */
export interface MeanLineGeometry {
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
export function meanLineFlow(geometry: MeanLineGeometry, expansionRatio: number, tipSpeed: number): number {
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
