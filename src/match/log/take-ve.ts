import { evaluateCurve } from '../../numerics/index.ts';
import type { Curve } from '../../numerics/types.ts';
import type { FittedVePoint, RoadLogFit, TakenVe } from './result-types.ts';

/** The taken part meets the entered curve within this of its ends, rpm. */
const JOIN_RPM = 250;

/**
 * The entered curve with the fit's in its covered range: rows outside stay, and within 250 rpm of the range both are joined. The fit is of the
 * entered curve's own kind, referred to the back-pressure at which that was measured, so nothing is corrected twice where it is entered.
 *
 * @param entered volumetric efficiency over engine speed, at least one point
 * @returns the curve, and the tolerance that goes with it: two standard deviations, the worst of the range, as a share
 */
export function takeVolumetricEfficiency(
  entered: Curve,
  fit: Pick<RoadLogFit, 'volumetricEfficiency' | 'coveredRpm'>,
): TakenVe {
  const [from, to] = fit.coveredRpm;
  const taken = fit.volumetricEfficiency;
  const [first, last] = [taken[0]!, taken[taken.length - 1]!];
  const [joinFrom, joinTo] = [from - JOIN_RPM, to + JOIN_RPM];
  const at = (n: number) => evaluateCurve(entered, n) ?? Number.NaN;
  // Outside the range the entered curve, raised by what the fit raises it at the range's end, and that runs out.
  const joined = (n: number, end: FittedVePoint) => {
    const share = Math.max(0, 1 - Math.abs(n - end.engineSpeedRpm) / JOIN_RPM);
    return { engineSpeedRpm: n, value: at(n) * (end.value / end.entered) ** share };
  };
  const speeds = [...entered.map((point) => point.engineSpeedRpm), joinTo, ...(joinFrom > 0 ? [joinFrom] : [])];
  const below = speeds.filter((n) => n < from).map((n) => joined(n, first));
  const above = speeds.filter((n) => n > to).map((n) => joined(n, last));
  const inside = taken.map(({ engineSpeedRpm, value }) => ({ engineSpeedRpm, value }));
  const unique = new Map([...below, ...inside, ...above].map((point) => [point.engineSpeedRpm, point]));
  const curve = [...unique.values()].sort((a, b) => a.engineSpeedRpm - b.engineSpeedRpm);
  const tolerance = 2 * Math.max(...fit.volumetricEfficiency.map((point) => point.standardDeviation / point.value));
  return { curve, tolerance, coveredRpm: fit.coveredRpm };
}
