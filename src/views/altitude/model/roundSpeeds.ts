/** More choices than this crowd the row. */
const MOST = 9;
const STEPS = [250, 500, 1000, 2000, 5000];

/** Engine speeds to choose from: those of the study at round steps, and the highest. */
export function roundSpeeds(speeds: readonly number[]): number[] {
  const first = speeds[0] ?? 0;
  const last = speeds.at(-1) ?? 0;
  const step = STEPS.find((candidate) => (last - first) / candidate < MOST) ?? 5000;
  const round = speeds.filter((rpm) => Math.abs(rpm / step - Math.round(rpm / step)) < 1e-9);
  return [...new Set([...round, ...(speeds.length > 0 ? [last] : [])])];
}

/** One in the middle and the highest: where shafts are slow to follow, and where they turn fastest. */
export function usualSpeeds(speeds: readonly number[]): number[] {
  const offered = roundSpeeds(speeds);
  const last = offered.at(-1);
  const middle = offered[Math.floor((offered.length - 1) / 2)];
  return [...new Set([middle, last].filter((rpm) => rpm !== undefined))];
}
