import type { OperatingPoint } from '../../../store/index.ts';
import { type ResultUnits, showResult } from '../../shared/resultUnits.ts';

/** What the estimate of the turbine inlet temperature gives along a line, lowest to highest; or why nothing can be shown. */
export function inletTemperatureWords(points: readonly OperatingPoint[], units: ResultUnits): string {
  const from = 'estimated from fuel, lambda and consumption';
  const found = points.flatMap((point) =>
    point.status === 'ok' && point.turbine?.temperatureEstimated ? [point.turbine.inletTemperatureK] : [],
  );
  if (found.length === 0) return `Along the line, ${from}. No line with a known turbine to show it for yet.`;
  const show = (kelvin: number) => showResult(kelvin, 'temperature', units);
  const lowest = show(Math.min(...found));
  const highest = show(Math.max(...found));
  const range = lowest === highest ? lowest : `${lowest} to ${highest}`;
  return `${range} along the line, ${from}.`;
}
