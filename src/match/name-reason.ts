import type { CompressorSurface, FlowAndRatio } from '../compressor/types.ts';
import type { NoPointReason } from './types.ts';

type Side = 'left-of-map' | 'right-of-map' | 'above-map';

/** The edges of a map, sampled once, to tell on which side a demand lies that the surface has no answer for. */
export interface MapEdges {
  surge: readonly FlowAndRatio[];
  choke: readonly FlowAndRatio[];
}

const SAMPLES = 16;

export function mapEdges(surface: CompressorSurface): MapEdges {
  const surge: FlowAndRatio[] = [];
  const choke: FlowAndRatio[] = [];
  for (let i = 0; i <= SAMPLES; i++) {
    const speed = surface.lowestAnswerRpm + ((surface.highestAnswerRpm - surface.lowestAnswerRpm) * i) / SAMPLES;
    const left = surface.surgeAt(speed);
    const right = surface.chokeAt(speed);
    if (left !== null) surge.push(left);
    if (right !== null) choke.push(right);
  }
  return { surge, choke };
}

/**
 * More flow than any line passes: 'right-of-map', whatever the pressure ratio. Left of the surge end at its pressure ratio:
 * 'left-of-map'. Right of the choke end at its pressure ratio: 'right-of-map'. Else it is the pressure ratio that the map does not hold.
 */
export function sideOfMap(edges: MapEdges, correctedMassFlowKgPerS: number, pressureRatio: number): Side {
  const W = correctedMassFlowKgPerS;
  const most = Math.max(...edges.choke.map((point) => point.correctedMassFlowKgPerS));
  if (edges.choke.length > 0 && W > most) return 'right-of-map';
  const left = edgeFlow(edges.surge, pressureRatio);
  if (left !== null && W < left) return 'left-of-map';
  const top = edges.choke[edges.choke.length - 1];
  // Over the choke end of the top line there is no choke end to be right of.
  if (top === undefined || pressureRatio > top.pressureRatio) return 'above-map';
  const right = edgeFlow(edges.choke, pressureRatio);
  return right !== null && W > right ? 'right-of-map' : 'above-map';
}

/** Flow of an edge at a pressure ratio; past its upper end it goes on as flow ~ sqrt(PR - 1), the shape of a throttle line. */
function edgeFlow(edge: readonly FlowAndRatio[], pressureRatio: number): number | null {
  const first = edge[0];
  const last = edge[edge.length - 1];
  if (first === undefined || last === undefined) return null;
  if (pressureRatio <= first.pressureRatio) return first.correctedMassFlowKgPerS;
  let below = first;
  for (const point of edge) {
    if (point.pressureRatio >= pressureRatio) {
      const rise = point.pressureRatio - below.pressureRatio;
      const share = rise > 0 ? (pressureRatio - below.pressureRatio) / rise : 1;
      return below.correctedMassFlowKgPerS + share * (point.correctedMassFlowKgPerS - below.correctedMassFlowKgPerS);
    }
    below = point;
  }
  const base = Math.max(last.pressureRatio - 1, 1e-6);
  return last.correctedMassFlowKgPerS * Math.sqrt(Math.max(1, (pressureRatio - 1) / base));
}

/** One plain sentence for each reason but 'bad-input', whose sentence names the number. */
export const REASON_MESSAGES: Readonly<Record<Exclude<NoPointReason, 'bad-input'>, string>> = {
  'left-of-map':
    'The goal asks for more pressure than this compressor holds at so little flow: far left of its surge line.',
  'right-of-map':
    'The goal asks for more flow than this compressor passes at this pressure ratio: past the choke end of the map.',
  'above-map': 'The goal asks for more pressure ratio than the map and its extension hold.',
  'no-compression': 'The engine reaches this goal without the compressor: the pressure ratio would be 1 or less.',
  'inlet-exhausted':
    'The loss of the inlet path takes more than half of the ambient pressure at this flow: check the inlet loss.',
  'unreachable-goal': 'No manifold pressure reaches this goal: more of it only makes the charge hotter.',
  'no-efficiency':
    'The map gives no efficiency here: enter islands or efficiencies of points, or an assumed efficiency.',
  'turbine-too-weak':
    'The exhaust drives no boost that this map answers for: the turbine is too large, or the engine gives too little gas.',
  'exhaust-blocked':
    'The turbine does not swallow the exhaust of this engine at any back-pressure it can breathe against: check its capacity and the exhaust loss.',
  'not-converged': 'No steady point was found: the map jumps here; check its lines and islands with the audit.',
};
