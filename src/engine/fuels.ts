import { type FuelComposition, fuelMolarMass, stoichiometricAirFuelRatio } from '../air/index.ts';
import type { FuelKey } from './types.ts';

export interface Fuel {
  key: FuelKey;
  name: string;
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

function fuel(key: FuelKey, name: string, pure: Pure, source: string, more: Partial<Fuel> = {}): Fuel {
  const airFuelRatio = stoichiometricAirFuelRatio(pure.composition);
  if (airFuelRatio === null) throw new Error(`Fuel ${key} needs no oxygen: this is a fault of the program.`);
  return {
    key,
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

/** The fuels that a build can burn. Published values spread by 1 to 2 %, so each names its source. */
export const FUELS: Readonly<Record<FuelKey, Fuel>> = {
  petrol: fuel('petrol', 'Petrol', PETROL, `CH1.87, air-fuel ratio from the formula; heating value: ${DOE}`),
  e10: fuel('e10', 'E10', ethanolBlend(0.1), `10 % ethanol; ${BLEND}`),
  e85: fuel('e85', 'E85', ethanolBlend(0.85), `85 % ethanol; ${BLEND}`),
  ethanol: fuel('ethanol', 'Ethanol', ETHANOL, `C2H5OH; heating value: ${DOE}`),
  methanol: fuel('methanol', 'Methanol', METHANOL, `CH3OH; heating value: ${DOE}`),
  diesel: fuel('diesel', 'Diesel', DIESEL, `CH1.8, molar mass: ${HEYWOOD}; heating value: ${DOE}`, {
    portEvaporatedShare: 0,
  }),
  'natural-gas': fuel(
    'natural-gas',
    'Natural gas',
    METHANE,
    `Air-fuel ratio and molar mass of methane; heating value of compressed natural gas: ${DOE}`,
    { phase: 'gas' },
  ),
};
