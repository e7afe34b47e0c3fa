/**
 * Calibration, completing, quality card, repairs and hash (src/compressor/reading): a part of its own, loaded when a map is traced.
 */
export function loadReading(): Promise<typeof import('../compressor/reading/index.ts')> {
  return import('../compressor/reading/index.ts');
}
