import {
  dryMassFraction,
  exhaustMixture,
  type FuelComposition,
  fuelMolarMass,
  type GasMixture,
  mixGases,
  moistAir,
  stoichiometricAirFuelRatio,
} from '../air/index.ts';
import { memory } from '../numerics/index.ts';

interface InletTemperatureInput {
  /** Atoms of the fuel's average molecule. */
  fuel: FuelComposition;
  /** Lower heating value, J/kg */
  lhvJPerKg: number;
  /** Air over stoichiometric air. */
  lambda: number;
  /** kg of fuel per J of brake work. */
  bsfcKgPerJ: number;
  /** Of the air drawn, 0 <= x < 1. */
  vapourMoleFraction: number;
  /** In the intake manifold. Left out: 320 K. */
  intakeTemperatureK?: number | undefined;
  /** Moist air and exhaust of these very numbers, where the caller has them already: mixing them anew costs more than the balance. */
  gases?: { air: GasMixture; exhaust: GasMixture } | undefined;
  /** Share of the heat released that goes to coolant and oil and from the manifold, see `heatLossShare`. Left out: HEAT_LOSS_SHARE. */
  heatLossShare?: number | undefined;
}

/** A charge cooler's outlet on a warm day; 10 K more here is about 8 K more before the turbine. */
const USUAL_INTAKE_K = 320;
const HEATING_VALUE_STATE_K = 298.15;
/**
 * Heywood, Internal Combustion Engine Fundamentals, table 12.1 (from memory), shares of the fuel's heating value at full power: coolant
 * 17 to 26 % and oil 3 to 10 % with spark ignition, coolant 16 to 35 % and oil 2 to 6 % with diesel. Within those, this one gives the
 * temperatures before the turbine that are common practice (no source): about 1,170 to 1,230 K with petrol at lambda 0.85 and 300 g/kWh,
 * 950 to 1,050 K with diesel at lambda 1.35 and 215 g/kWh. It is of the heat released: a rich mixture, burning cooler, loses less.
 */
export const HEAT_LOSS_SHARE = 0.25;
const LOSS_AT = { engineSpeedRpm: 4000, displacementM3: 0.002, cylinders: 4 };
const CONVECTION_EXPONENT = 0.2;
/** Far below any speed at full load the law would leave nothing for the exhaust. */
const MOST_HEAT_LOSS = 0.4;

/**
 * Share of the heat released that is lost before the turbine, over engine speed: turbulent convection takes from each kg of gas a share
 * that falls with the Reynolds number to the power -0.2 (heat transfer with exponent 0.8: Woschni, SAE 670931; Heywood, section 12.4;
 * both from memory), here by mean piston speed, n times the cube root of a cylinder's displacement. HEAT_LOSS_SHARE at 4,000 rpm and half a litre a cylinder;
 * so the exhaust gets hotter with engine speed although the mixture is made richer.
 * @returns at most 0.4
 */
export function heatLossShare(engineSpeedRpm: number, displacementM3: number, cylinders = LOSS_AT.cylinders): number {
  const size = Math.cbrt((displacementM3 * LOSS_AT.cylinders) / (LOSS_AT.displacementM3 * cylinders));
  const speed = (engineSpeedRpm / LOSS_AT.engineSpeedRpm) * size;
  return Math.min(MOST_HEAT_LOSS, HEAT_LOSS_SHARE * speed ** -CONVECTION_EXPONENT);
}

/** An answer outside these is not an exhaust of an engine that runs: the balance leaves nothing, or bsfc is not of this engine. */
const COLDEST_K = 400;
const HOTTEST_K = 2000;

/**
 * Total temperature before the turbine from the first law over the engine, per kg of fuel:
 * air h(Ti) + fuel h = brake work + heat + exhaust h(T3), heat a share of what combustion releases. Enthalpies are NASA's with formation
 * (zero: elements at 298.15 K); that of the fuel follows from its heating value to CO2 and steam. A rich exhaust keeps the energy of its
 * CO and H2 and is cooler for it. Left out: unburned fuel, burning in the manifold, pulsation.
 * @returns K, or null for an input out of range, a mixture richer than `exhaustMixture` answers for, or a balance that leaves no
 * engine's exhaust (below 400 or above 2000 K)
 */
export function estimatedInletTemperature(input: InletTemperatureInput): number | null {
  const { fuel, lhvJPerKg, lambda, bsfcKgPerJ, vapourMoleFraction } = input;
  const intakeK = input.intakeTemperatureK ?? USUAL_INTAKE_K;
  const heatShare = input.heatLossShare ?? HEAT_LOSS_SHARE;
  if (!(lhvJPerKg > 0 && bsfcKgPerJ > 0 && intakeK >= 200 && intakeK <= 600 && heatShare >= 0)) return null;
  const exhaust = input.gases?.exhaust ?? exhaustMixture(fuel, lambda, vapourMoleFraction);
  const air = input.gases?.air ?? moistAir(vapourMoleFraction);
  const dryShare = dryMassFraction(vapourMoleFraction);
  const stoichiometric = stoichiometricAirFuelRatio(fuel);
  const burnt = burntEnthalpy(fuel);
  if (!exhaust || !air || !dryShare || !stoichiometric || burnt === null) return null;
  const fuelEnthalpy = lhvJPerKg + burnt;
  const airKg = (lambda * stoichiometric) / dryShare;
  const exhaustKg = airKg + 1;
  const drawnAt = (T: number) => airKg * air.enthalpy(T) + fuelEnthalpy;
  const released = drawnAt(HEATING_VALUE_STATE_K) - exhaustKg * exhaust.enthalpy(HEATING_VALUE_STATE_K);
  const left = drawnAt(intakeK) - 1 / bsfcKgPerJ - heatShare * released;
  const temperatureK = exhaust.temperatureAtEnthalpy(left / exhaustKg, 1100);
  return temperatureK !== null && temperatureK >= COLDEST_K && temperatureK <= HOTTEST_K ? temperatureK : null;
}

const known = memory<FuelComposition, number | null>();

/** Enthalpy of the CO2 and steam that a kg of fuel burns to, J, at the state that heating values are for; remembered for the fuel. */
function burntEnthalpy(fuel: FuelComposition): number | null {
  return known(fuel, [], () => {
    const formed = mixGases({ CO2: fuel.carbon, H2O: fuel.hydrogen / 2 });
    if (formed === null) return null;
    const formedKg = ((fuel.carbon + fuel.hydrogen / 2) * formed.molarMassKgPerMol) / fuelMolarMass(fuel);
    return formedKg * formed.enthalpy(HEATING_VALUE_STATE_K);
  });
}
