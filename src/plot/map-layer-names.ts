/** Layers of the map itself, from the back to the front. */
export const SURFACE_LAYERS = [
  'island-fills',
  'island-lines',
  'speed-lines',
  'surge',
  'choke',
  'rated',
  'sheet-points',
] as const;

export type SurfaceLayer = (typeof SURFACE_LAYERS)[number];
