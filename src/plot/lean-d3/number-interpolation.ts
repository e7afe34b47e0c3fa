/*
 * Stands in for d3-interpolate in the built page (vite.config.ts): all scales here have numbers as their domain and range, and no view moves by
 * itself, so that colours, dates, texts and flights over a map are never interpolated.
 */

/** The number at a share (0..1) of the way from `from` to `to`. */
export function interpolateNumber(from: number, to: number): (share: number) => number {
  return (share) => from * (1 - share) + to * share;
}

export function interpolateRound(from: number, to: number): (share: number) => number {
  return (share) => Math.round(from * (1 - share) + to * share);
}

function neverUsed(): never {
  throw new Error('Only numbers are interpolated here; see src/plot/lean-d3.');
}

export { interpolateNumber as interpolate, neverUsed as interpolateZoom, neverUsed as piecewise };
