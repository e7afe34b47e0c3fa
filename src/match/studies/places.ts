import { standardAtmosphere, stationPressure, vapourMoleFraction } from '../../air/index.ts';
import type { Ambient, MatchInput } from '../types.ts';
import type { Place, PlaceResult, PlaceRule, PlaceTemperature } from './types.ts';

const ALTITUDE_MESSAGE = 'Altitude must be between -500 m and 6000 m (-1640 ft and 19\u202f685 ft).';
const HUMIDITY_MESSAGE = 'Relative humidity must be from 0 to 1: check it.';

/**
 * The air at an altitude by a rule: pressure of the standard atmosphere, or the day's pressure carried up from sea level by the
 * altimeter relation (ICAO Doc 7488); temperature as `rule.temperature` says; the same relative humidity everywhere.
 *
 * @param altitudeM geopotential metres, -500 to 6000
 * @param name for labels; left out: none
 * @returns the place, or one plain sentence why there is none
 */
export function standardPlace(altitudeM: number, rule: PlaceRule, name = ''): PlaceResult {
  const standard = standardAtmosphere(altitudeM);
  if (standard === null) return { ok: false, message: ALTITUDE_MESSAGE };
  const station =
    rule.seaLevelPressurePa === undefined
      ? { ok: true as const, pressurePa: standard.pressurePa }
      : stationPressure({ kind: 'weather-report', altitudeM, pressurePa: rule.seaLevelPressurePa });
  if (!station.ok) return { ok: false, message: station.message };
  const temperatureK = temperatureAt(standard.temperatureK, rule.temperature);
  const { relativeHumidity } = rule;
  if (!(relativeHumidity >= 0 && relativeHumidity <= 1)) return { ok: false, message: HUMIDITY_MESSAGE };
  const vapour = relativeHumidity === 0 ? 0 : vapourMoleFraction(relativeHumidity, temperatureK, station.pressurePa);
  if (!(temperatureK > 0) || vapour === null) {
    return { ok: false, message: 'No air can be made of this temperature and humidity: check both.' };
  }
  return {
    ok: true,
    place: { name, altitudeM, ambient: { pressurePa: station.pressurePa, temperatureK, vapourMoleFraction: vapour } },
  };
}

function temperatureAt(standardK: number, rule: PlaceTemperature): number {
  switch (rule.kind) {
    case 'standard':
      return standardK;
    case 'deviation-held':
      return standardK + rule.deviationK;
    case 'same':
      return rule.temperatureK;
  }
}

/**
 * How much warmer than the standard atmosphere a day is: what 'deviation-held' carries up the mountain.
 * @param temperatureK measured at the altitude
 * @param altitudeM -500 to 6000
 * @returns K, or null outside the altitudes
 */
export function deviationFromStandard(temperatureK: number, altitudeM: number): number | null {
  const standard = standardAtmosphere(altitudeM);
  return standard === null ? null : temperatureK - standard.temperatureK;
}

/**
 * The same build somewhere else. An air-cooled charge cooler keeps its rise over ambient, so its coolant temperature moves with the
 * air; cooling water keeps its temperature.
 */
export function inputAt(input: MatchInput, ambient: Ambient): MatchInput {
  const { cooler } = input.chargePath;
  if (cooler.kind === 'none' || cooler.medium === 'water') return { ...input, ambient };
  const coolantTemperatureK = cooler.coolantTemperatureK + ambient.temperatureK - input.ambient.temperatureK;
  return { ...input, ambient, chargePath: { ...input.chargePath, cooler: { ...cooler, coolantTemperatureK } } };
}

/** The place that an input itself stands for. */
export function ownPlace(input: MatchInput, name = ''): Place {
  return { name, altitudeM: null, ambient: input.ambient };
}
