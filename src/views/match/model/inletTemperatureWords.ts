import type { OperatingPoint } from '../../../match/index.ts';
import { type ResultUnits, showResult } from '../../shared/resultUnits.ts';

/** What the estimate of the turbine inlet temperature gives along a line, lowest to highest; only what it rests on where no turbine is known. */
export function inletTemperatureWords(points: readonly OperatingPoint[], units: ResultUnits): string {
  const found = points.flatMap((point) =>
    point.status === 'ok' && point.turbine?.temperatureEstimated ? [point.turbine.inletTemperatureK] : [],
  );
  if (found.length === 0) return 'Estimated from fuel, lambda and consumption.';
  const show = (kelvin: number) => showResult(kelvin, 'temperature', units);
  const lowest = show(Math.min(...found));
  const highest = show(Math.max(...found));
  const range = lowest === highest ? lowest : `${lowest} to ${highest}`;
  return `${range} along the line, estimated from fuel, lambda and consumption.`;
}
