import type { DataPlace } from './calibration-types.ts';

/** A gap no longer than this many of the contour's usual steps, or than this share of its length, is no gap. */
const STEPS = 1.6;
const LENGTH_SHARE = 0.06;

/**
 * Whether a traced contour is a closed island or is cut by the edge of the map: closed where its ends lie about as close together as its
 * neighbouring points do.
 * @param scale full scale of the sheet, so that flow and pressure ratio count alike
 * @returns false for fewer than four points.
 */
export function isClosedContour(points: readonly DataPlace[], scale: DataPlace): boolean {
  if (points.length < 4) return false;
  const step = (a: DataPlace, b: DataPlace) =>
    Math.hypot((a.flow - b.flow) / scale.flow, (a.pressureRatio - b.pressureRatio) / scale.pressureRatio);
  const steps = points.slice(1).map((p, i) => step(points[i]!, p));
  const length = steps.reduce((sum, s) => sum + s, 0);
  const usual = [...steps].sort((a, b) => a - b)[steps.length >> 1]!;
  const gap = step(points[0]!, points[points.length - 1]!);
  return gap <= Math.max(STEPS * usual, LENGTH_SHARE * length);
}
