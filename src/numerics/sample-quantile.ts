/**
 * Quantile of a sample, linear between its ordered values (the definition that most statistics programs use first: Hyndman & Fan,
 * The American Statistician 50 (1996) 361, type 7).
 *
 * @param sorted rising, at least one value
 * @param share 0..1
 * @returns the value; NaN for an empty sample
 */
export function sampleQuantile(sorted: ArrayLike<number>, share: number): number {
  const at = share * (sorted.length - 1);
  const low = sorted[Math.floor(at)] ?? Number.NaN;
  const high = sorted[Math.ceil(at)] ?? Number.NaN;
  return low + (high - low) * (at - Math.floor(at));
}
