import type { CarPath, RowReadings } from './car-path.ts';
import { type MeterCheck, meteredFlows } from './flow-meter.ts';
import type { MeteredRow } from './metered-rows.ts';
import type { LogImbalance } from './result-types.ts';
import { type Priors, rowBand } from './row-bands.ts';

/** One standard deviation of ln(W1/W2) up to which a row shows it. */
const SEEN = 0.02;
const LEAST_ROWS = 5;
/** Of its standard deviations that an imbalance must have to be one. */
const DIFFER = 3;

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
  let [sum, weights, random, systematic] = [0, 0, 0, 0];
  for (const one of seen) {
    const weight = 1 / (one.random ** 2 + one.systematic ** 2);
    sum += weight * one.value;
    weights += weight;
    random += (weight * one.random) ** 2;
    systematic += weight * one.systematic;
  }
  const value = sum / weights;
  const standardDeviation = Math.hypot(Math.sqrt(random), systematic) / weights;
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
