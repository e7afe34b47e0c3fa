import type { CompressorSurface, FlowAndRatio, IslandContour } from './types.ts';

/**
 * Efficiency islands of a surface as contours in data units. The mesh follows the map (rows of constant speed, columns of constant
 * beta), so contours end cleanly at surge, choke, top and lowest line, and the interpolation is that of the surface, not of pixels.
 * Marching squares with linear edges (Lorensen & Cline's method in the plane; ambiguous cells split by the mean of the corners).
 */
interface Mesh {
  flow: Float64Array;
  ratio: Float64Array;
  efficiency: Float64Array;
}

const ROWS = 56;
const COLUMNS = 44;

function mesh(surface: CompressorSurface): Mesh {
  const flow = new Float64Array(ROWS * COLUMNS);
  const ratio = new Float64Array(ROWS * COLUMNS);
  const efficiency = new Float64Array(ROWS * COLUMNS).fill(Number.NaN);
  for (let r = 0; r < ROWS; r++) {
    const speed = surface.lowestLineRpm + ((surface.highestLineRpm - surface.lowestLineRpm) * r) / (ROWS - 1);
    for (let c = 0; c < COLUMNS; c++) {
      const on = surface.on(speed, 1 - (1 - c / (COLUMNS - 1)) ** 1.6);
      if (!on) continue;
      const at = r * COLUMNS + c;
      flow[at] = on.correctedMassFlowKgPerS;
      ratio[at] = on.pressureRatio;
      efficiency[at] = on.efficiency ?? Number.NaN;
    }
  }
  return { flow, ratio, efficiency };
}

/** Round levels for a map whose efficiency ends at `peak`: 2 points apart near the top, 5 below. */
export function roundIslandLevels(peak: number): number[] {
  const top = Math.floor((peak - 0.004) * 50) / 50;
  const near = Array.from({ length: 5 }, (_, i) => top - 0.02 * i);
  const first = Math.floor((near[near.length - 1]! - 0.01) * 20) / 20;
  const far = Array.from({ length: 4 }, (_, i) => first - 0.05 * i);
  return [...near, ...far].map((level) => Math.round(level * 1000) / 1000).filter((level) => level >= 0.4);
}

/**
 * Contours at given levels (0..1), or at round levels below the surface's own peak.
 * @returns no contours when the surface has no efficiency.
 */
export function islandContours(surface: CompressorSurface, levels?: readonly number[]): IslandContour[] {
  if (!surface.hasEfficiency) return [];
  const grid = mesh(surface);
  let peak = 0;
  for (const value of grid.efficiency) if (value > peak) peak = value;
  return (levels ?? roundIslandLevels(peak))
    .map((efficiency) => ({ efficiency, rings: chain(segments(grid, efficiency)) }))
    .filter((contour) => contour.rings.length > 0);
}

interface Segment {
  from: number;
  to: number;
  start: FlowAndRatio;
  end: FlowAndRatio;
}

/** Edges are numbered: horizontal edge of node i is 2i, vertical 2i + 1, so that neighbouring cells share them. */
function segments({ flow, ratio, efficiency }: Mesh, level: number): Segment[] {
  const found: Segment[] = [];
  const cross = (a: number, b: number): FlowAndRatio => {
    const share = (level - efficiency[a]!) / (efficiency[b]! - efficiency[a]!);
    return {
      correctedMassFlowKgPerS: flow[a]! + share * (flow[b]! - flow[a]!),
      pressureRatio: ratio[a]! + share * (ratio[b]! - ratio[a]!),
    };
  };
  for (let r = 0; r < ROWS - 1; r++) {
    for (let c = 0; c < COLUMNS - 1; c++) {
      const a = r * COLUMNS + c;
      const b = a + 1;
      const d = a + COLUMNS;
      const e = d + 1;
      // Most cells lie wholly on one side (or hold no number): they are passed over before anything is made for them.
      const above = efficiency[a]! >= level;
      if (efficiency[b]! >= level === above && efficiency[d]! >= level === above && efficiency[e]! >= level === above)
        continue;
      const corners = [efficiency[a]!, efficiency[b]!, efficiency[e]!, efficiency[d]!];
      if (corners.some(Number.isNaN)) continue;
      const inside = corners.map((value) => value >= level);
      const edges: { id: number; at: () => FlowAndRatio }[] = [];
      if (inside[0] !== inside[1]) edges.push({ id: 2 * a, at: () => cross(a, b) });
      if (inside[1] !== inside[2]) edges.push({ id: 2 * b + 1, at: () => cross(b, e) });
      if (inside[2] !== inside[3]) edges.push({ id: 2 * d, at: () => cross(d, e) });
      if (inside[3] !== inside[0]) edges.push({ id: 2 * a + 1, at: () => cross(a, d) });
      const join = (i: number, j: number) =>
        found.push({ from: edges[i]!.id, to: edges[j]!.id, start: edges[i]!.at(), end: edges[j]!.at() });
      if (edges.length === 2) join(0, 1);
      else if (edges.length === 4) {
        const middle = corners.reduce((sum, value) => sum + value, 0) / 4 >= level;
        if (middle === inside[0]) {
          join(0, 1);
          join(2, 3);
        } else {
          join(3, 0);
          join(1, 2);
        }
      }
    }
  }
  return found;
}

/** Join segments that share an edge into the longest possible lines. */
function chain(pieces: readonly Segment[]): IslandContour['rings'] {
  const byEdge = new Map<number, Segment[]>();
  for (const piece of pieces) {
    for (const edge of [piece.from, piece.to]) byEdge.set(edge, [...(byEdge.get(edge) ?? []), piece]);
  }
  const used = new Set<Segment>();
  const walk = (edge: number, points: FlowAndRatio[]): number => {
    let at = edge;
    for (;;) {
      const next = byEdge.get(at)?.find((piece) => !used.has(piece));
      if (!next) return at;
      used.add(next);
      const forward = next.from === at;
      points.push(forward ? next.end : next.start);
      at = forward ? next.to : next.from;
    }
  };
  const rings: { points: FlowAndRatio[]; closed: boolean }[] = [];
  for (const piece of pieces) {
    if (used.has(piece)) continue;
    used.add(piece);
    const ahead: FlowAndRatio[] = [piece.start, piece.end];
    const lastEdge = walk(piece.to, ahead);
    const closed = lastEdge === piece.from;
    const behind: FlowAndRatio[] = [];
    if (!closed) walk(piece.from, behind);
    const points = [...behind.reverse(), ...ahead];
    if (points.length >= 4) rings.push({ points, closed });
  }
  return rings;
}
