import type { BarometerKind, DayAirReading } from '../../../build/index.ts';
import { findUnit, formatNumber, formatQuantity, NO_NUMBER } from '../../../units/index.ts';

/** What the air inputs come to, in words and figures: pressure in the barometer's own unit, so that it can be compared with it. */
export function airReadings(
  { air }: DayAirReading,
  pressureUnit: string,
  kind: BarometerKind,
): readonly { title: string; value: string }[] {
  const unit = findUnit('pressure-absolute', pressureUnit)?.key ?? 'hPa';
  const title = kind === 'weather-report' ? 'Pressure here, from the report' : 'Pressure here';
  return [
    { title, value: air === null ? NO_NUMBER : formatQuantity(air.ambient.pressurePa, 'pressure-absolute', unit) },
    {
      title: 'Air density',
      value: air === null ? NO_NUMBER : formatQuantity(air.densityKgPerM3, 'density', 'kg/m3'),
    },
    {
      title: 'Water vapour, by volume',
      value: air === null ? NO_NUMBER : `${formatNumber(air.ambient.vapourMoleFraction * 100, 2)}\u00a0%`,
    },
  ];
}
