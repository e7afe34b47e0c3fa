import type { CompressorSurface } from './types.ts';

/** Distances of a point from surge and choke, as shares; null where the surface does not know the boundary there. */
export interface MapMargins {
  /** (PRs / PR)(W / Ws) - 1 against the surge end of the speed line through the point (NASA and AGARD form, from memory). */
  surgeMargin: number | null;
  /** 1 - Ws(PR) / W: how far the flow may fall at this pressure ratio. */
  surgeFlowDistance: number | null;
  /** 1 - W / Wchoke against the choke end, as the sheet draws it, of the same speed line. */
  chokeMargin: number | null;
}

/**
 * Margins of a point at a corrected speed.
 * @param correctedSpeedRpm the surface's own answer for the point.
 */
export function mapMargins(
  surface: CompressorSurface,
  correctedSpeedRpm: number,
  correctedMassFlowKgPerS: number,
  pressureRatio: number,
): MapMargins {
  const surge = surface.surgeAt(correctedSpeedRpm);
  const choke = surface.chokeAt(correctedSpeedRpm);
  const surgeFlow = surface.surgeFlowAt(pressureRatio);
  return {
    surgeMargin:
      surge && (surge.pressureRatio / pressureRatio) * (correctedMassFlowKgPerS / surge.correctedMassFlowKgPerS) - 1,
    surgeFlowDistance: surgeFlow === null ? null : 1 - surgeFlow / correctedMassFlowKgPerS,
    chokeMargin: choke && 1 - correctedMassFlowKgPerS / choke.correctedMassFlowKgPerS,
  };
}
