/**
 * Points of a speed line in order from surge to choke: rising flow less falling pressure ratio, each over the line's own span, because
 * the flow of measured points scatters where the line is near-vertical. A line that was read from choke to surge, or whose flow falls
 * by no more than reading noise (1.5 % of its largest), counts as ordered and is given back as it stands.
 */
export function sortAlong<T>(
  points: readonly T[],
  flowOf: (point: T) => number,
  ratioOf: (point: T) => number,
): { sorted: readonly T[]; changed: boolean } {
  const flows = points.map(flowOf);
  const noise = 0.015 * Math.max(...flows);
  const rises = (list: readonly number[]): boolean => list.every((f, i) => i === 0 || f >= list[i - 1]! - noise);
  if (points.length < 2 || (rises(flows) && (flows.at(-1) ?? 0) >= (flows[0] ?? 0)))
    return { sorted: points, changed: false };
  if (rises([...flows].reverse())) return { sorted: points, changed: false };
  const ratios = points.map(ratioOf);
  const flowLow = Math.min(...flows);
  const ratioLow = Math.min(...ratios);
  const flowSpan = Math.max(...flows) - flowLow || 1;
  const ratioSpan = Math.max(...ratios) - ratioLow || 1;
  const along = (i: number): number => (flows[i]! - flowLow) / flowSpan - (ratios[i]! - ratioLow) / ratioSpan;
  const order = points.map((_, i) => i).sort((a, b) => along(a) - along(b));
  return { sorted: order.map((i) => points[i]!), changed: true };
}
