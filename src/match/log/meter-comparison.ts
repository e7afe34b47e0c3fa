import type { CarPath, RowReadings } from './car-path.ts';
import { meterFlow } from './fit-design.ts';
import { type MeterCheck, meteredFlows } from './flow-meter.ts';
import type { MeteredRow } from './metered-rows.ts';
import type { LogImbalance, MeterComparison } from './result-types.ts';
import { type Priors, rowBand, weightedMean } from './row-bands.ts';

const METERS = [
  ['air-mass', 'airMass', 'airMassScale'],
  ['fuel', 'fuel', 'fuelScale'],
  ['power', 'power', 'powerScale'],
] as const;
const LEAST_ROWS = 5;
/** Of its standard deviations that a difference must have to be one. */
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
    const { value, random, systematic } = weightedMean(
      taken.map((row) => {
        const state = against === 'map' ? row.metered! : row.predicted!;
        const flow = channel === 'airMass' ? state.airMassFlowKgPerS : state.engineFlowKgPerS;
        return {
          value: Math.log(meterFlow(path, row, channel) / flow),
          random: Math.hypot(0.01, against === 'map' ? row.band.random : 0),
          systematic: against === 'map' ? row.band.systematic : enteredDeviation,
        };
      }),
    );
    const standardDeviation = Math.hypot(random, systematic, priors[scale]);
    const differ = Math.abs(value) > DIFFER * standardDeviation;
    return [{ meter, against, rows: taken.length, difference: value, standardDeviation, differ }];
  });
}

/** One standard deviation of ln(W1/W2) up to which a row shows it. */
const SEEN = 0.02;

/**
 * How unequally two logged turbos share the air: ln(W1/W2) over the used rows, weighted by their bands. Both work between the same ambient
 * and manifold pressure, so each shaft speed is inverted on the map for its own flow; losses of a branch go with the flow of that turbo, shared
 * ones with that of both. Seen where shaft speed changes with flow: ln(W1/W2) = ln(N1/N2)/D, D the slope of `rowBand`. What is entered
 * wrongly, and the map's own error, are common to both and drop out; what is left is the noise and the scale of the two pickups.
 *
 * @param rows metered by the first shaft
 * @returns null where no second shaft is logged; without a value where the map shows it in fewer than five rows
 */
export function shaftImbalance(
  path: CarPath,
  rows: readonly MeteredRow[],
  check: MeterCheck,
  priors: Priors,
): LogImbalance | null {
  const both = rows.filter((row) => row.used && row.secondShaftRatio > 0 && row.readings.shaftSpeedRpm > 0);
  if (both.length === 0) return null;
  const seen = both.flatMap((row) => {
    const one = rowImbalance(path, row, check, priors);
    return one === null || Math.hypot(one.random, one.systematic) > SEEN ? [] : [one];
  });
  if (seen.length < LEAST_ROWS) return { rows: seen.length, unseen: both.length - seen.length, found: null };
  const { value, random, systematic } = weightedMean(seen);
  const standardDeviation = Math.hypot(random, systematic);
  const speeds = seen.map(({ engineSpeedRpm }) => engineSpeedRpm);
  const rangeRpm = [Math.min(...speeds), Math.max(...speeds)] as const;
  return {
    rows: seen.length,
    unseen: both.length - seen.length,
    found: { value, standardDeviation, rangeRpm, differ: Math.abs(value) > DIFFER * standardDeviation },
  };
}

function rowImbalance(path: CarPath, row: MeteredRow, check: MeterCheck, priors: Priors) {
  const { readings, secondShaftRatio, noise } = row;
  const flowAt = (of: RowReadings, guess: number) => {
    const flows = meteredFlows(path, of, guess, check);
    return flows.length === 1 ? flows[0]! : null;
  };
  // The middle of both: what they share is that of the mean flow.
  const middle = { ...readings, shaftSpeedRpm: readings.shaftSpeedRpm * Math.sqrt(secondShaftRatio) };
  const flow = flowAt(middle, row.metered?.airMassFlowKgPerS ?? row.predicted!.airMassFlowKgPerS);
  const state = flow === null ? null : path.settle(middle, flow);
  if (flow === null || state === null) return null;
  const { inletPath, chargePath } = path.line.input;
  const common = {
    ...middle,
    ...(inletPath.of === 'shared' && { inletPressurePa: state.inletPressurePa }),
    ...(chargePath.of === 'shared' && { outletPressurePa: state.outletPressurePa }),
  };
  const first = flowAt({ ...common, shaftSpeedRpm: readings.shaftSpeedRpm }, flow);
  const second = flowAt({ ...common, shaftSpeedRpm: readings.shaftSpeedRpm * secondShaftRatio }, flow);
  const { amplification } = rowBand(path, common, state, noise, priors);
  if (first === null || second === null || !Number.isFinite(amplification)) return null;
  return {
    engineSpeedRpm: readings.engineSpeedRpm,
    value: Math.log(first / second),
    random: Math.SQRT2 * noise.shaft * amplification,
    systematic: Math.SQRT2 * priors.shaftScale * amplification,
  };
}
