import type { Build, StudyPlace } from '../../build/index.ts';
import type { Place } from '../../match/index.ts';
import { formatNumber, formatQuantity, fromSi, unitOf } from '../../units/index.ts';

/** The unit in which altitudes are shown: that of the grid's lowest one. */
export function altitudeUnit(build: Build): 'm' | 'ft' {
  return build.altitudes.from.unit === 'ft' ? 'ft' : 'm';
}

/** '1,500 m' */
export function altitudeText(altitudeM: number | null, unit: 'm' | 'ft'): string {
  return formatQuantity(altitudeM ?? Number.NaN, 'altitude', unit);
}

/** A saved place by its name, an altitude of the grid by its number. */
export function placeName(place: Place | StudyPlace, unit: 'm' | 'ft'): string {
  return place.name.trim() === '' ? altitudeText(place.altitudeM, unit) : place.name.trim();
}

/** The air of a place: '1,500 m, 18 °C, 845 hPa'. */
export function placeAir(place: Place, unit: 'm' | 'ft'): string {
  const { temperatureK, pressurePa } = place.ambient;
  const temperature = formatQuantity(temperatureK, 'temperature', unit === 'ft' ? 'degF' : 'degC', { decimals: 0 });
  return `${altitudeText(place.altitudeM, unit)}, ${temperature}, ${formatQuantity(pressurePa, 'pressure-absolute', 'hPa', { decimals: 0 })}`;
}

/** An altitude in its unit, for an axis. */
export function altitudeValue(altitudeM: number, unit: 'm' | 'ft'): number {
  return fromSi(altitudeM, 'altitude', unit);
}

export function altitudeFromValue(value: number, unit: 'm' | 'ft'): number {
  return value * unitOf('altitude', unit).toSi;
}

/** '4,500 rpm' */
export function rpmText(rpm: number): string {
  return `${formatNumber(rpm, 0)}\u00a0rpm`;
}
