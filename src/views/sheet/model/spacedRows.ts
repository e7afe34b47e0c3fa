/** Steps that a reader can continue in his head, rpm. */
const STEPS = [250, 500, 1000, 2000, 5000];

/**
 * Indices of engine speeds for a table with room for `most` rows: all of them, else those at the finest round step that fits, with both
 * ends. Never fewer than both ends.
 *
 * @param speeds rising, rpm
 */
export function spacedRows(speeds: readonly number[], most: number): number[] {
  const all = speeds.map((_, i) => i);
  if (speeds.length <= most) return all;
  const last = speeds.length - 1;
  for (const step of STEPS) {
    const picked = all.filter((i) => i === 0 || i === last || isRound(speeds[i] ?? 0, step));
    if (picked.length <= most && picked.length > most / 3) return picked;
  }
  const count = Math.max(2, Math.min(most, speeds.length));
  return [...new Set(Array.from({ length: count }, (_, k) => Math.round((k * last) / (count - 1))))];
}

function isRound(speed: number, step: number): boolean {
  const rest = speed % step;
  return Math.min(rest, step - rest) < 1e-6;
}
