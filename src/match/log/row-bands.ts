import { coolerEffectiveness } from '../../engine/index.ts';
import { deviationOf } from '../studies/samples.ts';
import type { Tolerances } from '../studies/types.ts';
import type { CarPath, PathState, RowReadings } from './car-path.ts';
import { mapSlopes } from './flow-meter.ts';
import type { FlowReading, NuisanceKey } from './result-types.ts';
import type { LogChannelKey } from './types.ts';

/** Random noise of a row's readings, one standard deviation: shaft speed as a share, pressure in Pa, its rate in Pa/s, temperature in K and its rate in K/s. */
export interface RowNoise {
  shaft: number;
  manifoldPa: number;
  ratePaPerS: number;
  chargeK: number;
  chargeRateKPerS: number;
}

/** One standard deviation of what may be off, by key; 0 where it does not enter. */
export type Priors = Readonly<Record<NuisanceKey, number>>;

/** What a log was made with: its channels, and whether the gauge was zeroed with the engine standing. */
export type Instrument = LogChannelKey | 'zero-gauge';
export type Instruments = ReadonlySet<Instrument>;

/**
 * What may be off: the tolerances of the build (two standard deviations), and of instruments what they usually are (common practice, no
 * source): manifold pressure 1 kPa of offset (0.15 where its zero was taken with the engine standing) and 0.5 %, shaft speed 0.05 %,
 * temperatures 1 K, further pressures 0.3 and 0.5 kPa, an air-mass sensor 3 %, fuel flow with lambda 2.5 %, power with bsfc 5.5 %.
 */
export function priorsOf(tolerances: Tolerances, instruments: Instruments, hasTurbine: boolean): Priors {
  const of = (key: keyof Tolerances) => deviationOf(tolerances[key]);
  return {
    inletLoss: of('inletLoss'),
    chargeLoss: of('chargeLoss'),
    // What warms the air on its way in is known less well than the day's temperature: the tolerance of the air is taken for it.
    inletTemperature: instruments.has('compressorInletTemperature') ? 1 : of('airTemperature'),
    coolerEffectiveness: of('coolerEffectiveness'),
    ambientPressure: of('ambientPressure'),
    mapFlow: of('mapFlow'),
    mapPressureRatio: of('mapPressureRatio'),
    mapEfficiency: of('mapEfficiency'),
    manifoldOffset: instruments.has('zero-gauge') ? 150 : 1000,
    manifoldScale: 0.005,
    shaftScale: 0.0005,
    chargeProbe: instruments.has('chargeTemperature') ? 1 : 0,
    inletPressureSensor: instruments.has('compressorInletPressure') ? 300 : 0,
    outletPressureSensor: instruments.has('compressorOutletPressure') ? 500 : 0,
    backPressure: hasTurbine ? (instruments.has('turbineInletPressure') ? 0.01 : 0.03) : 0,
    airMassScale: instruments.has('airMassFlow') ? 0.03 : 0,
    fuelScale: instruments.has('fuelMassFlow') ? 0.025 : 0,
    powerScale: instruments.has('brakePower') ? 0.055 : 0,
  };
}

export interface RowBand {
  /** As shares of the volumetric efficiency. */
  random: number;
  systematic: number;
  /** |dlnW/dlnN|; infinite where the map meters nothing. */
  amplification: number;
  reading: FlowReading;
}

/** How well a map meters with this much of one standard deviation, as a share. */
export const flowReading = (deviation: number): FlowReading =>
  deviation <= 0.02 ? 'good' : deviation <= 0.05 ? 'weak' : 'none';
/** Below this the speed says nothing of the flow. */
const LEAST_SLOPE = 0.05;
export const NO_READING: RowBand = {
  random: Number.NaN,
  systematic: Number.NaN,
  amplification: Number.POSITIVE_INFINITY,
  reading: 'none',
};

/**
 * How far a metered volumetric efficiency may be off. With a and b the map's slopes (ln speed over ln flow and over ln pressure ratio), q
 * and c the losses before and behind the compressor as shares of p01 and p02:
 *   D dlnW = dlnN - (1+a)/2 dlnT01 - b (p_m/p02) dlnp_m + (a+b) [(p0/p01) dlnp0 - q dlnK_i] - b c dlnK_c,  D = a + 2q(a+b) + 2bc,
 *   dlnVE = dlnW + dlnT_m - dlnp_m.
 * What moves both (manifold pressure, air temperature) is added before it is squared. Left out: the density in the inlet loss, and the
 * outlet temperature in the charge loss (both small).
 */
export function rowBand(path: CarPath, row: RowReadings, at: PathState, noise: RowNoise, priors: Priors): RowBand {
  const slopes = mapSlopes(path, at.correctedMassFlowKgPerS, at.pressureRatio);
  if (slopes === null) return NO_READING;
  const { a, b } = slopes;
  const hasInlet = !Number.isNaN(row.inletPressurePa);
  const hasOutlet = !Number.isNaN(row.outletPressurePa);
  const p01 = at.inletPressurePa;
  const p02 = at.outletPressurePa;
  const q = hasInlet ? 0 : (row.ambientPressurePa - p01) / p01;
  const c = hasOutlet ? 0 : (p02 - row.manifoldPressurePa) / p02;
  const D = a + 2 * q * (a + b) + 2 * b * c;
  if (!(D > LEAST_SLOPE)) return NO_READING;
  const manifoldShare = hasOutlet ? 0 : row.manifoldPressurePa / p02;
  // Change of ln VE by one Pa of manifold pressure, one K of air.
  const perPa = (-(b * manifoldShare) / D - 1) / row.manifoldPressurePa;
  const hasCharge = !Number.isNaN(row.chargeTemperatureK);
  const effectiveness = coolerEffectiveness(path.line.cooler, at.airMassFlowKgPerS);
  const rise = at.outletTemperatureK - at.inletTemperatureK;
  const charge = hasCharge ? 0 : 1 / at.manifoldTemperatureK;
  const perK =
    -(1 + a) / 2 / D / at.inletTemperatureK +
    (charge * (1 - effectiveness) * at.outletTemperatureK) / at.inletTemperatureK;
  const toCoolant = effectiveness > 0 ? (at.outletTemperatureK - at.cooledTemperatureK) / effectiveness : 0;
  const efficiency = path.readMap(at.correctedMassFlowKgPerS, at.pressureRatio)?.efficiency ?? 0.7;
  const filling = path.fillingPerRate(at.manifoldTemperatureK) / at.engineFlowKgPerS;
  const random = Math.hypot(
    noise.shaft / D,
    noise.manifoldPa * perPa,
    hasCharge ? noise.chargeK / at.manifoldTemperatureK : 0,
    noise.ratePaPerS * filling,
  );
  const systematic = Math.hypot(
    priors.shaftScale / D,
    priors.inletTemperature * perK,
    priors.manifoldOffset * perPa,
    priors.manifoldScale * row.manifoldPressurePa * perPa,
    hasInlet
      ? (priors.inletPressureSensor / p01) * ((a + b) / D)
      : ((a + b) * (row.ambientPressurePa / p01) * priors.ambientPressure) / D,
    ((a + b) * q * priors.inletLoss) / D,
    (b * c * priors.chargeLoss) / D,
    hasOutlet ? (priors.outletPressureSensor / p02) * (b / D) : 0,
    (a * priors.mapFlow) / D,
    (b * priors.mapPressureRatio) / D,
    charge * toCoolant * priors.coolerEffectiveness,
    (charge * (1 - effectiveness) * rise * priors.mapEfficiency) / efficiency,
    hasCharge ? priors.chargeProbe / at.manifoldTemperatureK : 0,
    path.breathingSlope(row, at) * priors.backPressure,
  );
  return { random, systematic, amplification: 1 / D, reading: flowReading(Math.hypot(random, systematic)) };
}

/**
 * Mean of what rows say, weighted by their bands. What is common to the rows is not averaged away.
 * @param rows at least one; `random` and `systematic` are one standard deviation each
 */
export function weightedMean(rows: readonly { value: number; random: number; systematic: number }[]) {
  let [sum, weights, random, systematic] = [0, 0, 0, 0];
  for (const row of rows) {
    const weight = 1 / (row.random ** 2 + row.systematic ** 2);
    sum += weight * row.value;
    weights += weight;
    random += (weight * row.random) ** 2;
    systematic += weight * row.systematic;
  }
  return { value: sum / weights, random: Math.sqrt(random) / weights, systematic: systematic / weights };
}
