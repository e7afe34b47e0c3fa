import { standardAtmosphere, stationPressure, vapourMoleFraction } from '../../air/index.ts';
import type { Ambient, MatchInput } from '../types.ts';
import type { Place, PlaceResult, PlaceRule, PlaceTemperature } from './types.ts';

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
  const { relativeHumidity, seaLevelPressurePa: pressurePa } = rule;
  const kind = pressurePa === undefined ? 'standard' : 'weather-report';
  const station = stationPressure({ kind, altitudeM, pressurePa });
  if (!station.ok) return { ok: false, message: station.message };
  const temperatureK = temperatureAt(altitudeM, rule.temperature);
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

/** NaN outside the altitudes. */
function temperatureAt(altitudeM: number, rule: PlaceTemperature): number {
  const standardK = standardAtmosphere(altitudeM)?.temperatureK ?? Number.NaN;
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
