const TRIPLE_POINT_K = 273.16;

/**
 * Saturation pressure of water vapour, over ice up to the triple point and over water above it.
 *
 * Source: Hyland and Wexler (1983), as in ASHRAE Handbook Fundamentals, chapter Psychrometrics, equations for ice and for water.
 *
 * @param temperatureK 173.15 to 473.15 K
 * @returns Pa, or null outside that range
 */
export function saturationPressure(temperatureK: number): number | null {
  const T = temperatureK;
  if (!(T >= 173.15 && T <= 473.15)) return null;
  if (T <= TRIPLE_POINT_K) {
    const powers = 6.3925247 + T * (-9.677843e-3 + T * (6.2215701e-7 + T * (2.0747825e-9 - T * 9.484024e-13)));
    return Math.exp(-5.6745359e3 / T + powers + 4.1635019 * Math.log(T));
  }
  const powers = 1.3914993 + T * (-4.8640239e-2 + T * (4.1764768e-5 - T * 1.4452093e-8));
  return Math.exp(-5.8002206e3 / T + powers + 6.5459673 * Math.log(T));
}
