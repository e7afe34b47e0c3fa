/** More engine speeds than this make a study slower, not clearer. */
const MOST = 41;

/** Engine speeds of a study: those of the operating line, or evenly picked ones of them, both ends always among them. */
export function studySpeeds(engineSpeedsRpm: readonly number[]): readonly number[] {
  const last = engineSpeedsRpm.length - 1;
  if (last < MOST) return engineSpeedsRpm;
  const picked = Array.from({ length: MOST }, (_, i) => engineSpeedsRpm[Math.round((i * last) / (MOST - 1))] ?? 0);
  return [...new Set(picked)];
}
