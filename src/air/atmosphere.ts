/** J/(kg K), as the standard defines it; maps refer to the rounded 287.05. */
const STANDARD_GAS_CONSTANT = 287.05287;

const SEA_LEVEL_TEMPERATURE_K = 288.15;
const SEA_LEVEL_PRESSURE_PA = 101325;
/** K/m */
const LAPSE_RATE = 0.0065;
/** g0 / (R lapse rate) with g0 9.80665 m/s2 and R 287.05287 J/(kg K) */
const PRESSURE_EXPONENT = 5.25588;
const LOWEST_ALTITUDE_M = -500;
const HIGHEST_ALTITUDE_M = 6000;

interface StandardAtmosphere {
  temperatureK: number;
  pressurePa: number;
  densityKgPerM3: number;
}

/**
 * International Standard Atmosphere, troposphere.
 *
 * Source: ISO 2533:1975 (the same layer as the U.S. Standard Atmosphere 1976).
 *
 * @param altitudeM geopotential metres, -500 to 6000. A surveyed height may be entered as it is: at 3000 m the difference is 13 Pa.
 * @returns the state, or null outside the range
 */
export function standardAtmosphere(altitudeM: number): StandardAtmosphere | null {
  if (!(altitudeM >= LOWEST_ALTITUDE_M && altitudeM <= HIGHEST_ALTITUDE_M)) return null;
  const temperatureK = SEA_LEVEL_TEMPERATURE_K - LAPSE_RATE * altitudeM;
  const pressurePa = SEA_LEVEL_PRESSURE_PA * (temperatureK / SEA_LEVEL_TEMPERATURE_K) ** PRESSURE_EXPONENT;
  return { temperatureK, pressurePa, densityKgPerM3: pressurePa / (STANDARD_GAS_CONSTANT * temperatureK) };
}

interface StationPressureInput {
  /** 'read-on-site': what a barometer at the place shows. 'weather-report': reduced to sea level, as broadcast for the region. */
  kind: 'standard' | 'read-on-site' | 'weather-report';
  altitudeM: number;
  /** Pa; not used for 'standard'. */
  pressurePa?: number | undefined;
}

interface StationPressureWarning {
  code:
    | 'looks-like-weather-report' // entered as read on site, but only a value reduced to sea level would fit
    | 'looks-like-read-on-site' // entered as a weather report, but only a value read at this altitude would fit
    | 'cannot-belong-to-altitude'; // fits neither way
  /** Plain words, no numbers: the views add them in the user's units. */
  message: string;
}

type StationPressure =
  | { ok: true; pressurePa: number; warning?: StationPressureWarning | undefined }
  | { ok: false; reason: 'altitude-out-of-range' | 'pressure-missing' | 'pressure-impossible'; message: string };

/**
 * Weather at sea level stays inside this band nearly always and nearly everywhere outside tropical storms and the Siberian winter
 * (common practice, no source): a value outside it is far more often a mix-up than weather.
 */
const PLAUSIBLE_SEA_LEVEL_PA = { low: 95_000, high: 105_000 };

const MESSAGES: Record<StationPressureWarning['code'], string> = {
  'looks-like-weather-report':
    'This pressure is too high for the altitude; it looks like a weather report, which is reduced to sea level. Choose "weather report", or enter what a barometer on site shows.',
  'looks-like-read-on-site':
    'This pressure is too low for a weather report, which is reduced to sea level; it looks like a barometer reading on site. Choose "read on site", or enter the reported value.',
  'cannot-belong-to-altitude':
    'This pressure hardly occurs at this altitude, neither read on site nor reduced to sea level. Check the pressure, its unit and the altitude.',
};

/**
 * Pressure at the place, from one of three sources. A weather report (altimeter setting) is turned back from sea level by the pure
 * standard-atmosphere relation p = (Q^m - p0^m L H / T0)^(1/m), m = 1/5.25588 (ICAO Doc 7488); services that add 0.3 hPa
 * (Smithsonian tables) differ by 0.24 hPa.
 *
 * @returns station pressure in Pa, with a warning when the value cannot belong to the altitude; or why there is none: altitude not
 *   within -500..6000 m, no pressure entered, or one that is not a positive number or reduces to none.
 */
export function stationPressure(input: StationPressureInput): StationPressure {
  const standard = standardAtmosphere(input.altitudeM);
  if (standard === null) {
    return {
      ok: false,
      reason: 'altitude-out-of-range',
      message: 'Altitude must be between -500 m and 6000 m (-1640 ft and 19\u202f685 ft).',
    };
  }
  if (input.kind === 'standard') return { ok: true, pressurePa: standard.pressurePa };
  const entered = input.pressurePa;
  if (entered === undefined || Number.isNaN(entered)) {
    return {
      ok: false,
      reason: 'pressure-missing',
      message: 'Enter the barometric pressure, or choose the standard atmosphere.',
    };
  }
  const reported = input.kind === 'weather-report';
  const pressurePa = reported ? seaLevelToStation(entered, input.altitudeM) : entered;
  if (pressurePa === null || !(pressurePa > 0) || !Number.isFinite(pressurePa)) {
    return {
      ok: false,
      reason: 'pressure-impossible',
      message:
        'Barometric pressure must be a positive pressure that the altitude leaves room for: check value and unit.',
    };
  }
  const code = mixUp(input.kind, entered, input.altitudeM);
  return code === null
    ? { ok: true, pressurePa }
    : { ok: true, pressurePa, warning: { code, message: MESSAGES[code] } };
}

/** null: the value is plausible as it is entered. */
function mixUp(
  kind: 'read-on-site' | 'weather-report',
  enteredPa: number,
  altitudeM: number,
): StationPressureWarning['code'] | null {
  const asReport = isPlausible(enteredPa);
  const asReading = isPlausible(stationToSeaLevel(enteredPa, altitudeM));
  if (kind === 'weather-report' ? asReport : asReading) return null;
  if (kind === 'weather-report' && asReading) return 'looks-like-read-on-site';
  return kind === 'read-on-site' && asReport ? 'looks-like-weather-report' : 'cannot-belong-to-altitude';
}

function isPlausible(seaLevelPa: number): boolean {
  return seaLevelPa >= PLAUSIBLE_SEA_LEVEL_PA.low && seaLevelPa <= PLAUSIBLE_SEA_LEVEL_PA.high;
}

const M = 1 / PRESSURE_EXPONENT;

function altitudeTerm(altitudeM: number): number {
  return (SEA_LEVEL_PRESSURE_PA ** M * LAPSE_RATE * altitudeM) / SEA_LEVEL_TEMPERATURE_K;
}

function seaLevelToStation(seaLevelPa: number, altitudeM: number): number | null {
  if (!(seaLevelPa > 0)) return null;
  const base = seaLevelPa ** M - altitudeTerm(altitudeM);
  return base > 0 ? base ** PRESSURE_EXPONENT : null;
}

/**
 * Station pressure reduced to sea level by the standard atmosphere, the inverse of what `stationPressure` does with a weather report.
 * @param stationPa Pa, above 0
 * @param altitudeM geopotential metres
 * @returns Pa
 */
export function stationToSeaLevel(stationPa: number, altitudeM: number): number {
  return (stationPa ** M + altitudeTerm(altitudeM)) ** PRESSURE_EXPONENT;
}
