/** More engine speeds than this make a study slower, not clearer; a spread solves each of them a thousand times. */
const MOST = 41;
export const MOST_FOR_SPREAD = 15;

/** Engine speeds of a study: those of the operating line, or evenly picked ones of them, both ends always among them. */
export function studySpeeds(engineSpeedsRpm: readonly number[], most = MOST): readonly number[] {
  const last = engineSpeedsRpm.length - 1;
  if (last < most) return engineSpeedsRpm;
  const picked = Array.from({ length: most }, (_, i) => engineSpeedsRpm[Math.round((i * last) / (most - 1))] ?? 0);
  return [...new Set(picked)];
}
