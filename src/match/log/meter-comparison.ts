import type { CarPath } from './car-path.ts';
import { meterFlow } from './fit-design.ts';
import type { MeteredRow } from './metered-rows.ts';
import type { MeterComparison } from './result-types.ts';
import type { Priors } from './row-bands.ts';

const METERS = [
  ['air-mass', 'airMass', 'airMassScale'],
  ['fuel', 'fuel', 'fuelScale'],
  ['power', 'power', 'powerScale'],
] as const;
const LEAST_ROWS = 5;
const DIFFER = 3;

/**
 * Further flow meters over the used rows: the mean of ln(their flow/that of the map), weighted by the rows' bands, where the map meters; else
 * against what is entered. What is common to the rows is not averaged away. Air behind the compressor that a leak takes shows as less in the
 * engine than through the map.
 */
export function compareMeters(
  path: CarPath,
  rows: readonly MeteredRow[],
  priors: Priors,
  enteredDeviation: number,
): MeterComparison[] {
  return METERS.flatMap(([meter, channel, scale]) => {
    const read = rows.filter((row) => row.used && meterFlow(path, row, channel) > 0);
    const onMap = read.filter((row) => row.band.reading !== 'none' && row.metered !== null);
    const against = onMap.length >= LEAST_ROWS ? 'map' : 'entered';
    const taken = against === 'map' ? onMap : read;
    if (taken.length < LEAST_ROWS) return [];
    let [sum, weights, random, systematic] = [0, 0, 0, 0];
    for (const row of taken) {
      const state = against === 'map' ? row.metered! : row.predicted!;
      const flow = channel === 'airMass' ? state.airMassFlowKgPerS : state.engineFlowKgPerS;
      const own = Math.hypot(0.01, against === 'map' ? row.band.random : 0);
      const shared = against === 'map' ? row.band.systematic : enteredDeviation;
      const weight = 1 / (own ** 2 + shared ** 2);
      sum += weight * Math.log(meterFlow(path, row, channel) / flow);
      weights += weight;
      random += (weight * own) ** 2;
      systematic += weight * shared;
    }
    const difference = sum / weights;
    const standardDeviation = Math.hypot(Math.sqrt(random) / weights, systematic / weights, priors[scale]);
    return [
      {
        meter,
        against,
        rows: taken.length,
        difference,
        standardDeviation,
        differ: Math.abs(difference) > DIFFER * standardDeviation,
      },
    ];
  });
}
