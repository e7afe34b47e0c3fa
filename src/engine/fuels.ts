import { type FuelComposition, fuelMolarMass, stoichiometricAirFuelRatio } from '../air/index.ts';

export interface FuelSupply {
  injectorCount: number;
  /** Volume flow of one injector, m3/s, at its rated pressure difference. Left out: none is chosen yet. */
  injectorFlowM3PerS?: number | undefined;
  injectorRatedPressurePa: number;
  /** Fuel pressure over the manifold (or over ambient when the regulator has no manifold reference), Pa. */
  railPressurePa: number;
  railReference: 'manifold' | 'ambient';
  /** Highest duty that the shop accepts, 0..1. */
  dutyLimit: number;
  pumpFlowM3PerS?: number | undefined;
}

export interface Fuel {
  key: string;
  /** In a sentence: 'petrol E10'. */
  name: string;
  /** Where it is called otherwise in the United States. */
  usName?: string;
  /** Atoms of the average molecule. */
  composition: FuelComposition;
  /** Of the vapour, kg/mol. */
  molarMassKgPerMol: number;
  /** kg of dry air per kg of fuel, from the atoms. */
  stoichiometricAirFuelRatio: number;
  /** J/kg */
  lowerHeatingValueJPerKg: number;
  /** kg/m3 near 15 degC; of the liquid, or of the gas at 101325 Pa. */
  densityKgPerM3: number;
  phase: 'liquid' | 'gas';
  /**
   * Share of a port-injected fuel that is vapour when the intake valve closes. Taken as all of it (Heywood eq. 6.2, from memory, does
   * the same): the most air that it can displace. 0 for diesel, which does not evaporate in a port.
   */
  portEvaporatedShare: number;
  source: string;
}

const DOE = 'US DOE Alternative Fuels Data Center, Properties of Fuels';
const HEYWOOD = 'Heywood, Internal Combustion Engine Fundamentals, table D.4 (from memory)';

interface Pure {
  composition: FuelComposition;
  lhv: number;
  density: number;
}

/** Petrol CH1.87 of 105 g/mol (DOE: 100 to 105). */
const PETROL: Pure = { composition: moleculeOf(1.87, 0.105), lhv: 43.44e6, density: 745 };
const ETHANOL: Pure = { composition: { carbon: 2, hydrogen: 6, oxygen: 1 }, lhv: 26.95e6, density: 789 };
const METHANOL: Pure = { composition: { carbon: 1, hydrogen: 4, oxygen: 1 }, lhv: 20.09e6, density: 792 };
/** Diesel CH1.8 of 170 g/mol. */
const DIESEL: Pure = { composition: moleculeOf(1.8, 0.17), lhv: 42.78e6, density: 840 };
const METHANE: Pure = { composition: { carbon: 1, hydrogen: 4, oxygen: 0 }, lhv: 47.13e6, density: 0.68 };

function moleculeOf(hydrogenPerCarbon: number, molarMassKgPerMol: number): FuelComposition {
  const carbon = molarMassKgPerMol / fuelMolarMass({ carbon: 1, hydrogen: hydrogenPerCarbon, oxygen: 0 });
  return { carbon, hydrogen: carbon * hydrogenPerCarbon, oxygen: 0 };
}

/** Petrol with ethanol by volume, volumes taken as additive. */
function ethanolBlend(volumeShare: number): Pure {
  const ethanolKg = volumeShare * ETHANOL.density;
  const petrolKg = (1 - volumeShare) * PETROL.density;
  const ethanolMol = ethanolKg / fuelMolarMass(ETHANOL.composition);
  const petrolMol = petrolKg / fuelMolarMass(PETROL.composition);
  const perMolecule = (atom: keyof FuelComposition) =>
    (ethanolMol * ETHANOL.composition[atom] + petrolMol * PETROL.composition[atom]) / (ethanolMol + petrolMol);
  return {
    composition: { carbon: perMolecule('carbon'), hydrogen: perMolecule('hydrogen'), oxygen: perMolecule('oxygen') },
    lhv: (ethanolKg * ETHANOL.lhv + petrolKg * PETROL.lhv) / (ethanolKg + petrolKg),
    density: ethanolKg + petrolKg,
  };
}

function fuel(name: string, pure: Pure, source: string, more: Partial<Fuel> = {}): Omit<Fuel, 'key'> {
  const airFuelRatio = stoichiometricAirFuelRatio(pure.composition);
  if (airFuelRatio === null) throw new Error(`Fuel ${name} needs no oxygen: this is a fault of the program.`);
  return {
    name,
    composition: pure.composition,
    molarMassKgPerMol: fuelMolarMass(pure.composition),
    stoichiometricAirFuelRatio: airFuelRatio,
    lowerHeatingValueJPerKg: pure.lhv,
    densityKgPerM3: pure.density,
    phase: 'liquid',
    portEvaporatedShare: 1,
    source,
    ...more,
  };
}

const BLEND = `petrol and ethanol mixed by volume (789 and 745 kg/m3); heating values: ${DOE}`;

const table = {
  petrol: fuel('petrol', PETROL, `CH1.87, air-fuel ratio from the formula; heating value: ${DOE}`, {
    usName: 'gasoline',
  }),
  e10: fuel('petrol E10', ethanolBlend(0.1), `10 % ethanol; ${BLEND}`, { usName: 'gasoline E10' }),
  e85: fuel('E85', ethanolBlend(0.85), `85 % ethanol; ${BLEND}`),
  ethanol: fuel('ethanol', ETHANOL, `C2H5OH; heating value: ${DOE}`),
  methanol: fuel('methanol', METHANOL, `CH3OH; heating value: ${DOE}`),
  diesel: fuel('diesel', DIESEL, `CH1.8, molar mass: ${HEYWOOD}; heating value: ${DOE}`, {
    portEvaporatedShare: 0,
  }),
  'natural-gas': fuel(
    'natural gas',
    METHANE,
    `Air-fuel ratio and molar mass of methane; heating value of compressed natural gas: ${DOE}`,
    { phase: 'gas' },
  ),
};

type InjectorDuty =
  | { ok: true; duty: number; pressureDifferencePa: number }
  /** 'no-pressure': the rail is at or below the pressure that the injector sprays into; 'gaseous-fuel': the law below is for liquids. */
  | { ok: false; reason: 'no-pressure' | 'gaseous-fuel'; pressureDifferencePa: number }
  /** No injector is chosen. */
  | { ok: false; reason: 'no-injector'; pressureDifferencePa: number };

/** What the rail leaves across an injector, Pa: a rail referred to ambient loses the boost. Both pressures absolute; at or below 0 nothing flows. */
function acrossInjector(supply: FuelSupply, manifoldPressurePa: number, ambientPressurePa: number): number {
  return supply.railPressurePa + (supply.railReference === 'manifold' ? 0 : ambientPressurePa - manifoldPressurePa);
}

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
  const pressureDifferencePa = acrossInjector(supply, manifoldPressurePa, ambientPressurePa);
  if (fuel.phase === 'gas') return { ok: false, reason: 'gaseous-fuel', pressureDifferencePa };
  if (!(pressureDifferencePa > 0)) return { ok: false, reason: 'no-pressure', pressureDifferencePa };
  if (supply.injectorFlowM3PerS === undefined) return { ok: false, reason: 'no-injector', pressureDifferencePa };
  const oneInjector = supply.injectorFlowM3PerS * Math.sqrt(pressureDifferencePa / supply.injectorRatedPressurePa);
  const duty = fuelMassFlowKgPerS / fuel.densityKgPerM3 / (supply.injectorCount * oneInjector);
  return { ok: true, duty, pressureDifferencePa };
}

/** What a fuel flow asks of injectors and pump. SI. */
interface FuelNeed {
  /** Of one injector at its rated pressure, so that all of them together are open for the duty limit. */
  injectorFlowM3PerS: number;
  pumpFlowM3PerS: number;
  /** Against which the pump gives it: the rail over ambient. */
  pumpPressurePa: number;
}

/**
 * The inverse of injectorDuty at the duty limit: Q = m_f / (rho n d_lim) sqrt(dp_rated / dp), and what the pump must deliver at the pressure
 * of the rail. The same law, so the same is left out.
 *
 * @param supply its injector flow and pump flow are not read
 * @returns null for a gaseous fuel, and where the rail is at or below the pressure that the injector sprays into
 */
export function fuelNeed(
  supply: FuelSupply,
  fuel: Fuel,
  fuelMassFlowKgPerS: number,
  manifoldPressurePa: number,
  ambientPressurePa: number,
): FuelNeed | null {
  const across = acrossInjector(supply, manifoldPressurePa, ambientPressurePa);
  const pumpFlowM3PerS = fuelVolumeFlow(fuel, fuelMassFlowKgPerS);
  if (pumpFlowM3PerS === null || !(across > 0)) return null;
  const ofOne = pumpFlowM3PerS / (supply.injectorCount * supply.dutyLimit);
  return {
    injectorFlowM3PerS: ofOne * Math.sqrt(supply.injectorRatedPressurePa / across),
    pumpFlowM3PerS,
    pumpPressurePa: across + manifoldPressurePa - ambientPressurePa,
  };
}

/** Volume of liquid fuel that the engine burns, m3/s: what the pump must deliver at rail pressure. null for a gaseous fuel. */
export function fuelVolumeFlow(fuel: Fuel, fuelMassFlowKgPerS: number): number | null {
  return fuel.phase === 'gas' ? null : fuelMassFlowKgPerS / fuel.densityKgPerM3;
}

/**
 * Fuel that an air flow burns, kg/s.
 * @param dryAirMassFlowKgPerS dry air only: water vapour burns nothing
 * @param lambda air over stoichiometric air, above 0
 * @param stoichiometricAirFuelRatio kg/kg
 */
export function fuelMassFlow(dryAirMassFlowKgPerS: number, lambda: number, stoichiometricAirFuelRatio: number): number {
  return dryAirMassFlowKgPerS / (lambda * stoichiometricAirFuelRatio);
}

/** Brake power, W, of a fuel flow in kg/s at a brake specific fuel consumption in kg/J. */
export function brakePower(fuelMassFlowKgPerS: number, bsfcKgPerJ: number): number {
  return fuelMassFlowKgPerS / bsfcKgPerJ;
}

/** Dry air, kg/s, that a brake power needs: the inverse of fuelMassFlow and brakePower. */
export function dryAirForPower(
  brakePowerW: number,
  bsfcKgPerJ: number,
  lambda: number,
  stoichiometricAirFuelRatio: number,
): number {
  return brakePowerW * bsfcKgPerJ * lambda * stoichiometricAirFuelRatio;
}

/** Power at the wheels, W; the driveline loss is a share of brake power, 0 <= loss < 1. */
export function wheelPower(brakePowerW: number, drivelineLoss: number): number {
  return brakePowerW * (1 - drivelineLoss);
}

/** Torque, N m, of a power in W at an engine speed in rev/min above 0. */
export function torque(powerW: number, engineSpeedRpm: number): number {
  return (powerW * 60) / (2 * Math.PI * engineSpeedRpm);
}

/** Brake thermal efficiency: 1 / (bsfc times lower heating value). */
export function thermalEfficiency(bsfcKgPerJ: number, lowerHeatingValueJPerKg: number): number {
  return 1 / (bsfcKgPerJ * lowerHeatingValueJPerKg);
}

export type FuelKey = keyof typeof table;

/** The fuels that a build can burn, in the order of choosers. Published values spread by 1 to 2 %, so each names its source. */
export const FUELS = Object.fromEntries(Object.entries(table).map(([key, row]) => [key, { key, ...row }])) as Readonly<
  Record<FuelKey, Fuel & { key: FuelKey }>
>;

/** Name of a fuel in a sentence, as it is called where units are metric or US: 'petrol', 'gasoline'. */
export function fuelName(key: FuelKey, system: 'metric' | 'us'): string {
  const { name, usName = name } = FUELS[key];
  return system === 'us' ? usName : name;
}
