import type { MatchInput } from '../../../../match/index.ts';
import { formatNumber, NO_BREAK_SPACE, REFERENCE_GAS_CONSTANT } from '../../../../units/index.ts';
import { type ResultUnits, showResult } from '../../../shared/resultUnits.ts';

type TurbineCapacity = NonNullable<MatchInput['turbine']>['capacity'];

/** The state that most sheets of turbines are corrected to; said beside the number. */
const REFERENCE = { temperatureK: 288.15, pressurePa: 101_325 };
/** Well up on the curve of a car's turbine, near choking. */
const EXPANSION_RATIO = 2;

/** What an estimated turbine swallows, as the one number that can be held against a sheet, with its band. */
export function capacityWords(capacity: TurbineCapacity, units: ResultUnits): string {
  const parameterM2 = capacity.flowParameter(EXPANSION_RATIO, capacity.lines[0]?.reducedSpeed ?? 0);
  const { temperatureK, pressurePa } = REFERENCE;
  const flow = (parameterM2 * pressurePa) / Math.sqrt(REFERENCE_GAS_CONSTANT * temperatureK);
  const show = (kgPerS: number) => showResult(kgPerS, 'air-flow', units);
  const { band } = capacity;
  return (
    `Estimate: it swallows ${show(flow)} at an expansion ratio of ${formatNumber(EXPANSION_RATIO, 0)}, ` +
    `±${formatNumber(band * 100, 0)}${NO_BREAK_SPACE}%: ${show(flow * (1 - band))} to ${show(flow * (1 + band))}. ` +
    `Corrected to ${formatNumber(temperatureK, 2)}${NO_BREAK_SPACE}K and ${formatNumber(pressurePa / 1000, 3)}${NO_BREAK_SPACE}kPa.`
  );
}
