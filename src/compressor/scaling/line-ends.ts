import type { CompressorSurface } from '../types.ts';

/** Flows at surge and choke over corrected speed; NaN where the surface does not know them. */
export interface LineEnds {
  surge(speedRpm: number): number;
  choke(speedRpm: number): number;
}

const STEPS = 512;

const made = new WeakMap<CompressorSurface, LineEnds>();
const makers = new WeakMap<CompressorSurface, () => LineEnds>();

/**
 * The line ends of a surface as a table, linear between its rows: a twentieth of the time of asking the surface, and within a
 * hundred-thousandth or so of it, a thousandth of any estimate's band. Made once a surface.
 */
export function lineEnds(surface: CompressorSurface): LineEnds {
  const ends = made.get(surface) ?? makers.get(surface)?.() ?? tabulated(surface);
  made.set(surface, ends);
  return ends;
}

/** A surface made from another one takes its ends from the other's table: there and back is then the same flow to the last digits. */
export function deriveLineEnds(surface: CompressorSurface, make: () => LineEnds): void {
  makers.set(surface, make);
}

function tabulated(surface: CompressorSurface): LineEnds {
  const { lowestAnswerRpm, highestAnswerRpm } = surface;
  const perStepRpm = (highestAnswerRpm - lowestAnswerRpm) / STEPS;
  const surge = new Float64Array(STEPS + 1);
  const choke = new Float64Array(STEPS + 1);
  for (let i = 0; i <= STEPS; i++) {
    const speed = i === STEPS ? highestAnswerRpm : lowestAnswerRpm + i * perStepRpm;
    surge[i] = surface.surgeAt(speed)?.correctedMassFlowKgPerS ?? Number.NaN;
    choke[i] = surface.chokeAt(speed)?.correctedMassFlowKgPerS ?? Number.NaN;
  }
  const read = (table: Float64Array, speedRpm: number): number => {
    const at = (speedRpm - lowestAnswerRpm) / perStepRpm;
    const row = Math.min(STEPS - 1, Math.max(0, Math.floor(at)));
    const low = table[row] as number;
    return low + (at - row) * ((table[row + 1] as number) - low);
  };
  return { surge: (speedRpm) => read(surge, speedRpm), choke: (speedRpm) => read(choke, speedRpm) };
}
